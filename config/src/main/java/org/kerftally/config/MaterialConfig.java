package org.kerftally.config;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * States what differs for one material.
 *
 * @param section the cross section as people write it, or {@code null}
 * @param kerf the width removed in this material, or {@code null} for the station's
 * @param minOffcut the least remainder worth keeping, or {@code null} for the site's
 * @param stroke how far the blade must travel to cut through, or {@code null} when not said
 */
public record MaterialConfig(
    @Nullable String section,
    @Nullable Length kerf,
    @Nullable Length minOffcut,
    @Nullable Length stroke) {}
