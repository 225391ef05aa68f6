package org.kerftally.daemon.station;

import org.kerftally.shared.length.Length;

/** Tells one wanted part of a job from another. */
record PartKey(String material, String name, Length length) {}
