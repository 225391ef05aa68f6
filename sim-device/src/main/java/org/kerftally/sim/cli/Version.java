package org.kerftally.sim.cli;

import java.util.Objects;
import picocli.CommandLine.IVersionProvider;

/** Tells the version in the jar's manifest; classes outside a jar are of no version. */
final class Version implements IVersionProvider {

  @Override
  public String[] getVersion() {
    String version = Version.class.getPackage().getImplementationVersion();
    return new String[] {
      "kerftally-sim-device " + Objects.requireNonNullElse(version, "(unpackaged)")
    };
  }
}
