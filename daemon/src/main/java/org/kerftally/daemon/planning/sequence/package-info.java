/** The order of work: which sticks are cut one after the other, and in which order their parts. */
@NullMarked
package org.kerftally.daemon.planning.sequence;

import org.jspecify.annotations.NullMarked;
