/** Reads the certificates and keys that a configuration names, and speaks TLS with them. */
@NullMarked
package org.kerftally.config.tls;

import org.jspecify.annotations.NullMarked;
