/** A whole site as it is shipped: service, devices, broker and network, each of which can fail. */
@NullMarked
package org.kerftally.daemon.site;

import org.jspecify.annotations.NullMarked;
