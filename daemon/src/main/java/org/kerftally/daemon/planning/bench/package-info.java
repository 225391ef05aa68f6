/**
 * Measures the planner on instances whose optimum is published, and on such as it makes itself.
 *
 * <p>Pure: texts come in and rows go out; files and the clock are the command line's.
 */
@NullMarked
package org.kerftally.daemon.planning.bench;

import org.jspecify.annotations.NullMarked;
