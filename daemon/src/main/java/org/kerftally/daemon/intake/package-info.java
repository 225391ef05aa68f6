/**
 * Job files and stock files: what they say, or everything that is wrong with them.
 *
 * <p>{@code table} turns bytes into cells with their places, this package turns cells into job
 * orders and stock, {@code folder} watches the folders they are dropped into.
 */
@NullMarked
package org.kerftally.daemon.intake;

import org.jspecify.annotations.NullMarked;
