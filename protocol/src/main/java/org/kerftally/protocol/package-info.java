/** The link to a positioner, whatever protocol it speaks. */
@NullMarked
package org.kerftally.protocol;

import org.jspecify.annotations.NullMarked;
