/** What passes between Kerftally and a positioner, whatever protocol carries it. */
@NullMarked
package org.kerftally.shared.device;

import org.jspecify.annotations.NullMarked;
