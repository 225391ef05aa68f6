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

  /** What has to be so before somebody lets the stop move from the command line. */
  static final List<String> BEFORE_A_MOVE =
      List.of(
          "",
          "Caution: THE STOP WILL MOVE, and the saw can maim. Before you go on:",
          "  - you see the stop and all of its way, or a second person who sees it speaks with you;",
          "  - nobody has a hand, a tool or a workpiece in the stop's way or at the blade;",
          "  - somebody has a hand at the emergency stop, and has tried it;",
          "  - the blade's drive is locked out, unless a step asks for a stroke.",
          "Kerftally is no safety function and cannot stop a move that has begun: the emergency stop",
          "can. Follow the machine's manual, local codes and licensed practice; see ISO 12100,",
          "ISO 13849-1, IEC 60204-1, EN 1870-10, 29 CFR 1910.213 and 1910.147.");

  private Cautions() {}
}
