/** What lies on the rack: new sticks and offcuts. */
@NullMarked
package org.kerftally.shared.stock;

import org.jspecify.annotations.NullMarked;
