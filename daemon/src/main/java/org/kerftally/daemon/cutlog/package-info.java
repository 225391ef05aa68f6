/** The cut log: the durable list of everything that happened, and the tables told from it. */
@NullMarked
package org.kerftally.daemon.cutlog;

import org.jspecify.annotations.NullMarked;
