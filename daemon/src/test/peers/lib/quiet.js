// To be imported first: standard output carries the line that says where a device serves, and what
// a stack has to say for itself, be it while it loads, goes to standard error.
console.log = console.info = console.debug = console.error;
