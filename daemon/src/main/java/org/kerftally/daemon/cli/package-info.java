/**
 * The command line: the only place that puts the parts together.
 *
 * <p>A command reads what it was given, says everything that is wrong on standard error, and ends
 * with an exit code of the contract.
 */
@NullMarked
package org.kerftally.daemon.cli;

import org.jspecify.annotations.NullMarked;
