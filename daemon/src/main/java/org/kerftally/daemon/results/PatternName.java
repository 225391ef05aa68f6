package org.kerftally.daemon.results;

/** Names cut patterns for people: A to Z, then AA, AB and so on. */
final class PatternName {

  private PatternName() {}

  /** Returns the name of the pattern with this index, from 0. */
  static String of(int index) {
    StringBuilder name = new StringBuilder();
    for (int i = index; i >= 0; i = i / 26 - 1) {
      name.insert(0, (char) ('A' + i % 26));
    }
    return name.toString();
  }
}
