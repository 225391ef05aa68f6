package org.kerftally.daemon.conformance;

import java.util.List;
import org.kerftally.shared.device.Prompt;

/** Is a bench with all that the steps of the device contract need. */
public interface Rig extends Bench {

  /** Drops the connection and makes a new one; what the old one said is forgotten. */
  void reconnect();

  /** Shows something on the machine's panel, where it has one. It commands nothing. */
  void show(Prompt prompt);

  /** Makes targets go out although they are void by their own time; for the one step on that. */
  void late(boolean on);

  /** Returns what is wrong with the signals, one by one; empty when all can be used. */
  List<String> signalFaults() throws InterruptedException;
}
