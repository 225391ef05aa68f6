package org.kerftally.daemon.cli;

import java.util.List;

/** Holds the usual cautions, as the command line says them. */
final class Cautions {

  static final List<String> TEXT =
      List.of(
          "",
          "Caution: the saw can maim. Kerftally is no safety function: it starts no stroke, releases",
          "no guard, and resumes no motion by itself. Emergency stop, guarding and lockout belong to",
          "the machine. Follow its manual, local codes and licensed practice; see ISO 12100,",
          "ISO 13849-1, IEC 60204-1, ISO 19085-1, EN 1870-10, 29 CFR 1910.213 and 1910.147.");

  private Cautions() {}
}
