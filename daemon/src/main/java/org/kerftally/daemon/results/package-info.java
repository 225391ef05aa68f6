/** Results for the office: what a job's plan is, how far it is, and what was cut, as files. */
@NullMarked
package org.kerftally.daemon.results;

import org.jspecify.annotations.NullMarked;
