/** What stock there is to plan with: a pure fold over the events of the cut log. */
@NullMarked
package org.kerftally.daemon.stock;

import org.jspecify.annotations.NullMarked;
