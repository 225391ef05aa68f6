/** Job orders: what the office wants cut. */
@NullMarked
package org.kerftally.shared.job;

import org.jspecify.annotations.NullMarked;
