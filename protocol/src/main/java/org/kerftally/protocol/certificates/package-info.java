/** A site's certificates: its own, those it trusts, and those that await a decision. */
@NullMarked
package org.kerftally.protocol.certificates;

import org.jspecify.annotations.NullMarked;
