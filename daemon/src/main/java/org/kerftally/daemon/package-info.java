/** The service between the office and the saw. */
@NullMarked
package org.kerftally.daemon;

import org.jspecify.annotations.NullMarked;
