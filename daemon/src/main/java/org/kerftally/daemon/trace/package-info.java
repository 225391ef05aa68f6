/** Records what reached a station and what came of it, and runs such a record again. */
@NullMarked
package org.kerftally.daemon.trace;

import org.jspecify.annotations.NullMarked;
