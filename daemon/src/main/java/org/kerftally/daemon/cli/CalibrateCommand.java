package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.calibration.Findings;
import org.kerftally.daemon.calibration.FindingsText;
import org.kerftally.daemon.calibration.LineFit;
import org.kerftally.daemon.calibration.Proposal;
import org.kerftally.daemon.intake.PieceFileReader;
import org.kerftally.daemon.intake.PieceReading;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Works out a station's offset and scale from pieces that were cut and measured. */
@Command(
    name = "calibrate",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Works out a positioner's offset and scale from pieces cut and measured.",
      "Reads lines of target_mm,measured_mm or target_in,measured_in; says how sure",
      "the figures are, which pieces do not fit, and what to write into the",
      "configuration. Changes nothing."
    })
final class CalibrateCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Parameters(paramLabel = "FILE", description = "The pieces, CSV.")
  private Path file = Path.of("");

  @Option(
      names = "--tolerance",
      paramLabel = "LENGTH",
      converter = LengthOption.class,
      description = "Say how many more pieces make the mean length sure to this, such as '0.1 mm'.")
  private @Nullable Length tolerance;

  @Option(names = "--without-outliers", description = "Fit the line without the outliers found.")
  private boolean withoutOutliers;

  @Option(
      names = "--table",
      description = "Propose corrections by length, if a straight line is not enough.")
  private boolean table;

  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      description = {
        "The configuration that was in force when the pieces were cut.",
        "Default: they were cut with no calibration."
      })
  private @Nullable Path config;

  @Option(
      names = "--station",
      paramLabel = "NAME",
      description = "The station they were cut at. Default: the only one.")
  private @Nullable String station;

  @Option(names = "--json", description = "One JSON object on one line.")
  private boolean json;

  @Override
  public Integer call() {
    if (tolerance != null && !tolerance.isPositive()) {
      throw usage("--tolerance must be more than 0");
    }
    if (station != null && config == null) {
      throw usage("--station is of no use without -c FILE, which says how it was calibrated");
    }
    StationConfig cutAt = null;
    if (config != null) {
      ConfigResult read = ConfigReader.read(config);
      if (read instanceof ConfigResult.Bad bad) {
        complain(bad.problems());
        return ExitCodes.BAD_CONFIG;
      }
      cutAt = chosen(((ConfigResult.Good) read).config().stations());
    }
    PieceReading reading = read();
    if (reading instanceof PieceReading.Bad bad) {
      return refuse(bad.problems());
    }
    PieceReading.Good good = (PieceReading.Good) reading;
    if (!LineFit.isDetermined(good.pieces())) {
      return refuse(List.of(undetermined(good.pieces())));
    }
    Calibration present = cutAt == null ? Calibration.TRUE : cutAt.calibration();
    Findings findings = Findings.of(good.pieces(), withoutOutliers, table, present);
    if (!findings.proposal().isFit()) {
      return refuse(List.of(absurd(findings)));
    }
    if (findings.proposal().corrections() == null) {
      return refuse(List.of(wild()));
    }
    print(findings, good, cutAt);
    return ExitCodes.DONE;
  }

  private StationConfig chosen(List<StationConfig> stations) {
    String names =
        stations.stream().map(StationConfig::name).collect(Collectors.joining(", ", "", ""));
    if (station == null && stations.size() > 1) {
      throw usage("say which station with --station NAME: " + names);
    }
    return stations.stream()
        .filter(one -> station == null || one.name().equals(station))
        .findFirst()
        .orElseThrow(() -> usage("there is no station " + station + "; known are " + names));
  }

  private PieceReading read() {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] content = in.readNBytes(PieceFileReader.MAX_BYTES + 1);
      return content.length > PieceFileReader.MAX_BYTES
          ? wrong("is larger than " + PieceFileReader.MAX_BYTES + " bytes", "Is this the file?")
          : PieceFileReader.read(content, file.toString());
    } catch (NoSuchFileException e) {
      return wrong("there is no such file", "Check the name and the folder you are in");
    } catch (IOException e) {
      return wrong("cannot be read: " + e.getMessage(), null);
    }
  }

  private PieceReading wrong(String message, @Nullable String hint) {
    return new PieceReading.Bad(List.of(new Problem(file.toString(), 0, null, message, hint)));
  }

  private Problem undetermined(List<MeasuredPiece> pieces) {
    String found =
        switch (pieces.size()) {
          case 0 -> "there is no piece in it";
          case 1 -> "there is one piece in it";
          default -> "all pieces have the same target";
        };
    return new Problem(
        file.toString(),
        0,
        null,
        found + ", and offset and scale cannot be told apart",
        "Cut and measure pieces of at least two lengths, as far apart as the travel allows.");
  }

  private Problem absurd(Findings findings) {
    Proposal proposal = findings.proposal();
    String found =
        proposal.hasUsualScale()
            ? "an offset of " + proposal.offset() + ", and the configuration takes 100 m at most"
            : "a scale of "
                + proposal.scale().toPlainString()
                + ", and the configuration takes one from 0.5 to 2";
    return new Problem(
        file.toString(),
        0,
        null,
        "the pieces make " + found,
        "Look whether target and measured are exchanged, mixed up, or in two units.");
  }

  private Problem wild() {
    return new Problem(
        file.toString(),
        0,
        null,
        "the table of corrections that comes out is none that the configuration takes: "
            + Corrections.MAX_POINTS
            + " entries, 10 mm either way, a change of half the way between two lengths",
        table
            ? "Leave out --table, and look at the outliers and the plot."
            : "Cut with a calibration without corrections, and measure anew.");
  }

  private void print(Findings findings, PieceReading.Good read, @Nullable StationConfig cutAt) {
    PrintWriter out = spec.commandLine().getOut();
    String name = cutAt == null ? null : cutAt.name();
    if (json) {
      out.println(CalibrationJson.findings(file.toString(), name, findings, tolerance));
      out.flush();
      return;
    }
    FindingsText.lines(findings, read.unit(), tolerance).forEach(out::println);
    out.println();
    if (cutAt == null) {
      out.println("Write, if the pieces were cut with no calibration in force (offset 0 mm, scale");
      out.println("1); if there was one, give it with -c FILE --station NAME:");
    } else {
      Calibration present = cutAt.calibration();
      int corrections = present.corrections().points().size();
      out.println("Station " + name + " is taken to have cut them with offset " + present.offset());
      out.println(
          "and scale "
              + present.scale().toPlainString()
              + (corrections == 0 ? "" : " and " + corrections + " corrections")
              + "; what was found is put on top of these. Write in");
      out.println("their place:");
    }
    out.println();
    String yaml = findings.proposal().yaml(findings.present().resolution());
    yaml.lines().forEach(line -> out.println("    " + line));
    if (cutAt != null && cutAt.layout() == Layout.INFEED_PUSHER) {
      out.println();
      out.println(
          "Note: with infeed-pusher, target and measured are what remains behind the blade,");
      out.println("not the pieces that come off.");
    }
    out.flush();
  }

  private int refuse(List<Problem> problems) {
    if (json) {
      PrintWriter out = spec.commandLine().getOut();
      out.println(CalibrationJson.problems(file.toString(), problems));
      out.flush();
    }
    complain(problems);
    return ExitCodes.WRONG_INPUT;
  }

  private void complain(List<Problem> problems) {
    PrintWriter err = spec.commandLine().getErr();
    problems.stream().map(Problem::text).forEach(err::println);
    err.flush();
  }

  private ParameterException usage(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
