/** The vocabulary every module speaks: exact lengths, parts, sticks, plans, targets and events. */
@NullMarked
package org.kerftally.shared;

import org.jspecify.annotations.NullMarked;
