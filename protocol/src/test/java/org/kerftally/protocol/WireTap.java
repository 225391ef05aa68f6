package org.kerftally.protocol;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** Keeps what a link tells of its wire. */
public final class WireTap implements LinkTap {

  /** One thing that passed. */
  record Passed(Way way, String what, String place, String value) {}

  private final List<Passed> all = new CopyOnWriteArrayList<>();

  @Override
  public boolean listens() {
    return true;
  }

  @Override
  public void text(Way way, String what, String place, String value) {
    all.add(new Passed(way, what, place, value));
  }

  @Override
  public void bytes(Way way, String what, String place, byte[] payload) {
    text(way, what, place, new String(payload, StandardCharsets.UTF_8));
  }

  /** Returns what went one way under one of these names. */
  List<Passed> passed(Way way, String... names) {
    return all.stream().filter(p -> p.way() == way && List.of(names).contains(p.what())).toList();
  }
}
