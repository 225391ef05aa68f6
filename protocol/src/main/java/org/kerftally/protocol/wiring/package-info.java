/**
 * Turns what any device says into what the device contract says, and targets into what any device
 * understands. Pure: no protocol, no thread, no clock.
 *
 * <p>The way in: a link reads raw values ({@link org.kerftally.protocol.wiring.RawValue}) of the
 * places in the signal map; {@link org.kerftally.protocol.wiring.DevicePicture} converts each, lets
 * stand-ins take the place of what the device lacks, and hands the whole to {@link
 * org.kerftally.protocol.wiring.ContractReader}, which trusts nothing. The way out: {@link
 * org.kerftally.protocol.wiring.MoveEngine} walks a target through one of the handshakes and says
 * what is to be written next; the link writes it.
 */
@NullMarked
package org.kerftally.protocol.wiring;

import org.jspecify.annotations.NullMarked;
