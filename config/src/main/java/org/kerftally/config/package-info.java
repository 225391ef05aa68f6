/** Station configuration: its records, its reader and its checks. */
@NullMarked
package org.kerftally.config;

import org.jspecify.annotations.NullMarked;
