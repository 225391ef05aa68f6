package org.kerftally.daemon.cli;

import java.util.Objects;
import picocli.CommandLine.IVersionProvider;

/** Tells the version in the jar's manifest; classes outside a jar are of no version. */
public final class Version implements IVersionProvider {

  /** Returns the version alone. */
  public static String text() {
    String version = Version.class.getPackage().getImplementationVersion();
    return Objects.requireNonNullElse(version, "(unpackaged)");
  }

  @Override
  public String[] getVersion() {
    return new String[] {"kerftally " + text()};
  }
}
