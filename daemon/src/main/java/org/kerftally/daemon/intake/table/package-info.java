/** Bytes into cells that know their line and column: decoding, CSV, JSON, all bounded. */
@NullMarked
package org.kerftally.daemon.intake.table;

import org.jspecify.annotations.NullMarked;
