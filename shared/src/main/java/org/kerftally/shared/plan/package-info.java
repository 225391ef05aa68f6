/** Cut plans: which parts come from which stick, and what they cost at the least. */
@NullMarked
package org.kerftally.shared.plan;

import org.jspecify.annotations.NullMarked;
