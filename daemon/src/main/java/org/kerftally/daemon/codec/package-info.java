/**
 * Values as strict JSON, by the shape of their records: what is kept in a file is read back whole.
 */
@NullMarked
package org.kerftally.daemon.codec;

import org.jspecify.annotations.NullMarked;
