/** How one device behaves: a first move under guard, and the device contract step by step. Pure. */
@NullMarked
package org.kerftally.daemon.conformance;

import org.jspecify.annotations.NullMarked;
