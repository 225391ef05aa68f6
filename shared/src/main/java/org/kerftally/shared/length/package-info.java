/** Exact lengths: whole nanometres, how people write them, and how they are read back. */
@NullMarked
package org.kerftally.shared.length;

import org.jspecify.annotations.NullMarked;
