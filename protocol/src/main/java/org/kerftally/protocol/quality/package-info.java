/**
 * Makes any link's moves better: believes "in position" only after a while, and comes to every
 * target from the same side.
 */
@NullMarked
package org.kerftally.protocol.quality;

import org.jspecify.annotations.NullMarked;
