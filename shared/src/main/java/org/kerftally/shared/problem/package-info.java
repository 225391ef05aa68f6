/** Input errors as values: where, what was found, what was expected, what to do. */
@NullMarked
package org.kerftally.shared.problem;

import org.jspecify.annotations.NullMarked;
