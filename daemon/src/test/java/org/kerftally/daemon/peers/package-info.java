/** Devices on stacks that are not the project's own, for the tests that have to drive them. */
@NullMarked
package org.kerftally.daemon.peers;

import org.jspecify.annotations.NullMarked;
