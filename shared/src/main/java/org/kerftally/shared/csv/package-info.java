/** What the writer of CSV files and their reader must agree on. */
@NullMarked
package org.kerftally.shared.csv;

import org.jspecify.annotations.NullMarked;
