/** What the tests of every package share: random cases from seeds that a failure names. */
@NullMarked
package org.kerftally.shared;

import org.jspecify.annotations.NullMarked;
