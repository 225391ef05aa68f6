/** Events of the cut log: what happened, in order. All state is a fold of these. */
@NullMarked
package org.kerftally.shared.event;

import org.jspecify.annotations.NullMarked;
