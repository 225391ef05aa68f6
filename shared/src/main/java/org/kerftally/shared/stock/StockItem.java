package org.kerftally.shared.stock;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Describes sticks of one sort on the rack.
 *
 * @param material the material's name; the empty text where the site has only one
 * @param length the length of each stick
 * @param quantity how many there are, or {@code null} for as many as needed
 * @param cost the cost of one stick in the site's own cost unit, or {@code null} for proportional
 *     to its length
 * @param kind new stock or an offcut
 * @param label what is written on the stick, or {@code null}
 */
public record StockItem(
    String material,
    Length length,
    @Nullable Integer quantity,
    @Nullable BigDecimal cost,
    StickKind kind,
    @Nullable String label) {}
