/**
 * The live board: a read-only HTTP server with one page for people, JSON for programs, a stream of
 * changes and metrics.
 *
 * <p>It sees the service through {@link BoardSources} alone, holds no state of its own but its
 * listeners, and can change nothing.
 */
@NullMarked
package org.kerftally.daemon.board;

import org.jspecify.annotations.NullMarked;
