@NullMarked
package org.kerftally.protocol.wiring;

import org.jspecify.annotations.NullMarked;
