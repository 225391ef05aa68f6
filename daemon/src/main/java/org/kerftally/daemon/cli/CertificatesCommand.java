package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.certificates.SiteCertificate;
import org.kerftally.protocol.certificates.SiteCertificate.Place;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Shows a site's certificates, and lets a person trust one that a device has shown. */
@Command(
    name = "certificates",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Lists the site's own certificate, those of devices that are trusted, and",
      "those that wait for a decision. `certificates accept FINGERPRINT` trusts one",
      "that waits: compare its fingerprint with the one the device shows first."
    },
    subcommands = CertificatesCommand.Accept.class)
final class CertificatesCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      description = "The site's configuration.")
  private @Nullable Path config;

  @Override
  public Integer call() {
    if (config == null) {
      throw new ParameterException(spec.commandLine(), "Missing required option: '--config=FILE'");
    }
    SiteConfig site = read(config, spec);
    if (site == null) {
      return ExitCodes.BAD_CONFIG;
    }
    PrintWriter out = spec.commandLine().getOut();
    CertificateFolder folder = CertificateFolder.of(site.folder());
    try {
      if (site.stations().stream()
          .anyMatch(s -> s.link() instanceof OpcUaLinkConfig && s.link().isSecured())) {
        folder.own();
      }
      List<SiteCertificate> all = folder.list();
      all.forEach(certificate -> print(certificate, out));
      if (all.isEmpty()) {
        out.println("No certificates: no link over OPC UA is secured.");
      }
      out.flush();
      return ExitCodes.DONE;
    } catch (IOException e) {
      return refuse(spec, e.getMessage());
    }
  }

  private static void print(SiteCertificate c, PrintWriter out) {
    String place =
        switch (c.place()) {
          case OWN -> "own      ";
          case TRUSTED -> "trusted  ";
          case WAITING -> "waiting  ";
        };
    out.println(place + c.fingerprint());
    out.println("         " + c.subject());
    if (!c.hosts().isEmpty()) {
      out.println("         for " + String.join(", ", c.hosts()));
    }
    out.println(
        "         from "
            + c.from().atZone(ZoneOffset.UTC).toLocalDate()
            + " to "
            + c.until().atZone(ZoneOffset.UTC).toLocalDate());
    out.println("         " + c.file());
  }

  private static @Nullable SiteConfig read(Path file, CommandSpec spec) {
    if (ConfigReader.read(file) instanceof ConfigResult.Good good) {
      return good.config();
    }
    PrintWriter err = spec.commandLine().getErr();
    ((ConfigResult.Bad) ConfigReader.read(file))
        .problems().stream().map(Problem::text).forEach(err::println);
    return null;
  }

  private static int refuse(CommandSpec spec, @Nullable String message) {
    spec.commandLine().getErr().println(message);
    spec.commandLine().getErr().flush();
    return ExitCodes.WRONG_INPUT;
  }

  /** Trusts one. */
  @Command(
      name = "accept",
      mixinStandardHelpOptions = true,
      versionProvider = Version.class,
      description = "Trusts a device's certificate that waits for a decision.")
  static final class Accept implements Callable<Integer> {

    @Spec private CommandSpec spec;

    @Parameters(
        paramLabel = "FINGERPRINT",
        description = "The certificate's SHA-256, all 64 digits; colons and blanks do not matter.")
    private String fingerprint = "";

    @Option(
        names = {"-c", "--config"},
        required = true,
        paramLabel = "FILE",
        description = "The site's configuration.")
    private Path config;

    @Override
    public Integer call() {
      String digits = fingerprint.replaceAll("[: ]", "").toLowerCase(Locale.ROOT);
      if (!digits.matches("[0-9a-f]{" + Fingerprint.DIGITS + "}")) {
        throw new ParameterException(
            spec.commandLine(),
            "A fingerprint is "
                + Fingerprint.DIGITS
                + " digits of 0-9 and a-f, all of them, as `kerftally certificates -c FILE` shows");
      }
      SiteConfig site = read(config, spec);
      return site == null ? ExitCodes.BAD_CONFIG : accept(site, digits);
    }

    private int accept(SiteConfig site, String digits) {
      CertificateFolder folder = CertificateFolder.of(site.folder());
      PrintWriter out = spec.commandLine().getOut();
      try {
        if (folder.accept(digits)) {
          out.println("Trusted: " + digits + ". The link tries again by itself.");
          out.flush();
          return ExitCodes.DONE;
        }
        List<SiteCertificate> all = folder.list();
        if (all.stream()
            .anyMatch(c -> c.place() == Place.TRUSTED && c.fingerprint().equals(digits))) {
          out.println("Trusted already: " + digits);
          out.flush();
          return ExitCodes.DONE;
        }
        long waiting = all.stream().filter(c -> c.place() == Place.WAITING).count();
        return refuse(
            spec,
            "No certificate with this fingerprint waits; "
                + (waiting == 0
                    ? "none waits at all: start the service, so that the device shows its own."
                    : waiting + " with others do, see `kerftally certificates -c FILE`."));
      } catch (IOException e) {
        return refuse(spec, e.getMessage());
      }
    }
  }
}
