/** What the demo needs beside the service itself. */
@NullMarked
package org.kerftally.daemon.cli.demo;

import org.jspecify.annotations.NullMarked;
