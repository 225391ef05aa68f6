package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.length.Length;

final class CalibrateCommandTest {

  private static final String HEADER = "target_mm,measured_mm";

  @TempDir Path folder;

  private Path file(String name, String... lines) throws IOException {
    return Files.write(folder.resolve(name), List.of(lines));
  }

  private Path norris() throws IOException {
    Path file = folder.resolve("norris.csv");
    try (InputStream in =
        getClass().getResourceAsStream("/org/kerftally/daemon/calibration/norris.csv")) {
      Files.copy(in, file);
    }
    return file;
  }

  /** Two stations, the first of which takes what is given as its calibration. */
  private Path config(String calibration) throws IOException {
    return file(
        "kerftally.yaml",
        "folder: .",
        "board: off",
        "stations:",
        "  - name: saw1",
        "    layout: outfeed-stop",
        "    kerf: 3.2 mm",
        "    " + calibration,
        "    travel: { min: 20 mm, max: 4000 mm }",
        "    link: { opcua: { endpoint: \"opc.tcp://127.0.0.1:9\" } }",
        "  - name: saw2",
        "    layout: infeed-pusher",
        "    kerf: 3.2 mm",
        "    travel: { min: 20 mm, max: 4000 mm }",
        "    link: { opcua: { endpoint: \"opc.tcp://127.0.0.1:19\" } }");
  }

  private Calibration calibrationOf(Path config) {
    ConfigResult read = ConfigReader.read(config);
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    return ((ConfigResult.Good) read).config().stations().get(0).calibration();
  }

  private static JsonNode json(Shell shell) throws IOException {
    assertThat(shell.out().lines()).hasSize(1);
    return new ObjectMapper().readTree(shell.out());
  }

  private static String toPaste(Shell shell) {
    return shell
        .out()
        .lines()
        .filter(line -> line.contains("calibration: {"))
        .findFirst()
        .orElseThrow();
  }

  /** NIST StRD, data set Norris: certified values. */
  @Test
  void theJsonHasTheCertifiedValuesOfAReferenceDataSet() throws IOException {
    Shell shell = Shell.run("calibrate", "--json", norris());

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    JsonNode json = json(shell);
    assertCertified(json, "offset_mm", -0.262323073774029);
    assertCertified(json, "offset_se_mm", 0.232818234301152);
    assertCertified(json, "scale", 1.00211681802045);
    assertCertified(json, "scale_se", 0.429796848199937E-03);
    assertCertified(json, "residual_sd_mm", 0.884796396144373);
    assertCertified(json, "r_squared", 0.999993745883712);
    assertThat(json.path("n").intValue()).isEqualTo(36);
    assertThat(json.path("degrees_of_freedom").intValue()).isEqualTo(34);
    assertThat(json.path("scale_differs_from_1").booleanValue()).isTrue();
    assertThat(json.get("offset_differs_from_0").booleanValue()).isFalse();
    assertThat(json.get("outliers")).isEmpty();
    assertThat(json.get("more_pieces").isNull()).isTrue();
  }

  private static void assertCertified(JsonNode json, String field, double certified) {
    assertThat(json.path(field).doubleValue())
        .as(field)
        .isCloseTo(certified, within(Math.abs(certified) * 1e-12));
  }

  @Test
  void peopleReadFiguresResidualsAndAPlot() throws IOException {
    Shell shell = Shell.run("calibrate", "--tolerance", "0.1 mm", norris());

    assertThat(shell.code()).isZero();
    assertThat(shell.out())
        .contains(
            "36 pieces",
            "-0.262 mm",
            "1.002116818",
            "differs from 1",
            "no different from 0",
            "R squared 0.999993745884",
            "measure 1127 more",
            "No outliers",
            "     -2.352 |",
            "no calibration in force");
    assertThat(shell.out().chars()).allMatch(c -> c == '\n' || (c >= ' ' && c < 127));
  }

  @Test
  void whatIsToBePastedReadsBackAsTheLineFound() throws IOException {
    Shell shell = Shell.run("calibrate", norris());

    Calibration read = calibrationOf(config(toPaste(shell).strip()));

    assertThat(read.toLength(Length.ofMm(999)).toReadingMm())
        .isCloseTo(-0.262323073774029 + 1.00211681802045 * 999, within(1e-5));
    assertThat(read.toLength(Length.ofMm(10)).toReadingMm())
        .isCloseTo(-0.262323073774029 + 1.00211681802045 * 10, within(1e-5));
  }

  /** Pieces cut by a calibration that is off: the new one has to send the stop where they tell. */
  @Test
  void aLineIsPutOnTopOfTheCalibrationThatWasInForce() throws IOException {
    Path config = config("calibration: { offset: -2 mm, scale: 1.001, resolution: 0.01 mm }");
    Path pieces = file("pieces.csv", HEADER, "500,500.6", "1000,1000.7", "1500,1500.8");
    Calibration before = calibrationOf(config);

    Shell shell = Shell.run("calibrate", "-c", config, "--station", "saw1", pieces);

    assertThat(shell.code()).isZero();
    assertThat(shell.out()).contains("offset -2 mm", "scale 1.001;", "on top of these");
    String line = toPaste(shell).strip();
    assertThat(line)
        .isEqualTo("calibration: { offset: -1.5004 mm, scale: 1.0012002, resolution: 0.01 mm }");
    Calibration after = calibrationOf(config(line));
    // Where the stop stood for a wanted 1000 mm, the piece had 1000.7 mm.
    assertThat(after.toLength(before.toPosition(Length.ofMm(1000))).toReadingMm())
        .isCloseTo(1000.7, within(0.006));
  }

  @Test
  void whatAPusherIsMeasuredByIsRemarkedOn() throws IOException {
    Path pieces = file("pieces.csv", HEADER, "500,500.6", "1000,1000.7", "1500,1500.8");

    Shell shell =
        Shell.run("calibrate", "-c", config("window: 0.1 mm"), "--station", "saw2", pieces);

    assertThat(shell.out()).contains("what remains behind the blade");
  }

  @Test
  void inchesAreAnsweredInInchesAndWrittenInMillimetres() throws IOException {
    Path pieces =
        file("pieces.csv", "target_in,measured_in", "10,10-1/64", "20,20-1/64", "40,40-1/64");

    Shell shell = Shell.run("calibrate", pieces);

    assertThat(shell.out())
        .contains("0.016 in", "calibration: { offset: 0.39688 mm, scale: 1 }", "Residuals in in");
  }

  @Test
  void twoPiecesGiveALineWithoutErrors() throws IOException {
    Path pieces = file("pieces.csv", HEADER, "500,500.6", "1000,1000.7");

    Shell shell = Shell.run("calibrate", pieces);
    JsonNode json = json(Shell.run("calibrate", "--json", "--tolerance", "0.1 mm", pieces));

    assertThat(shell.code()).isZero();
    assertThat(shell.out())
        .contains("say nothing of how sure it is", "offset: 0.5 mm, scale: 1.0002");
    for (String unknown :
        List.of(
            "offset_se_mm", "scale_se", "residual_sd_mm", "scale_differs_from_1", "more_pieces")) {
      assertThat(json.get(unknown).isNull()).as(unknown).isTrue();
    }
    assertThat(json.path("scale").doubleValue()).isEqualTo(1.0002);
  }

  @Test
  void anOutlierStaysUntilItIsAskedToGo() throws IOException {
    Path pieces =
        file(
            "pieces.csv",
            HEADER,
            "500,500.1",
            "700,700.12",
            "900,900.09",
            "1100,1105",
            "1300,1300.11",
            "1500,1500.1",
            "1700,1700.12",
            "1900,1900.1");

    JsonNode with = json(Shell.run("calibrate", "--json", pieces));
    JsonNode without = json(Shell.run("calibrate", "--json", "--without-outliers", pieces));

    assertThat(with.path("outliers").toString()).isEqualTo("[5]");
    assertThat(with.path("n").intValue()).isEqualTo(8);
    assertThat(without.path("outliers").toString()).isEqualTo("[5]");
    assertThat(without.path("n").intValue()).isEqualTo(7);
    assertThat(without.path("residual_sd_mm").doubleValue()).isLessThan(0.02);
  }

  /** A sagging rail: each length twice, the middle too long. */
  private Path bent() throws IOException {
    return file(
        "bent.csv",
        HEADER,
        "500,500.02",
        "500,500.04",
        "1000,1000.31",
        "1000,1000.29",
        "1500,1500.52",
        "1500,1500.5",
        "2000,2000.3",
        "2000,2000.32",
        "2500,2500.01",
        "2500,2500.03");
  }

  @Test
  void aTableIsProposedWhereALineIsNotEnoughAndReadsBack() throws IOException {
    Shell asked = Shell.run("calibrate", "--table", bent());
    Shell plain = Shell.run("calibrate", bent());

    assertThat(plain.out()).contains("A straight line is not enough", "--table proposes");
    assertThat(asked.code()).isZero();
    assertThat(asked.out()).contains("A straight line is not enough", "    - { at: ");
    String table = asked.out().substring(asked.out().indexOf("    calibration:\n"));
    Calibration read = calibrationOf(config(table.strip()));
    assertThat(read.toLength(Length.ofMm(1500)).toReadingMm()).isCloseTo(1500.51, within(1e-4));
    assertThat(read.toLength(Length.ofMm(500)).toReadingMm()).isCloseTo(500.03, within(1e-4));
    JsonNode json = json(Shell.run("calibrate", "--json", "--table", bent()));
    assertThat(json.path("config").path("corrections")).hasSize(5);
    assertThat(json.get("line_is_enough").booleanValue()).isFalse();
  }

  @Test
  void aTableIsRefusedWhereItWouldFitNoise() throws IOException {
    Shell shell =
        Shell.run(
            "calibrate",
            "--table",
            file(
                "straight.csv",
                HEADER,
                "500,500.02",
                "500,500.04",
                "1000,1000.03",
                "2000,2000.02"));

    assertThat(shell.code()).isZero();
    assertThat(shell.out()).contains("would only fit noise").doesNotContain("corrections:");
  }

  @Test
  void badLinesAreAllNamed() throws IOException {
    Path pieces = file("pieces.csv", HEADER, "500,many", "0,1", "900,900.1");

    Shell shell = Shell.run("calibrate", "--json", pieces);

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err().lines()).hasSize(2);
    assertThat(shell.err()).contains("line 2, measured_mm", "line 3, target_mm");
    assertThat(json(shell).path("problems")).hasSize(2);
  }

  @Test
  void whatDeterminesNoLineIsRefusedWithAWayOut() throws IOException {
    assertThat(refused(file("none.csv", HEADER))).contains("there is no piece");
    assertThat(refused(file("one.csv", HEADER, "5,5"))).contains("there is one piece");
    assertThat(refused(file("same.csv", HEADER, "500,501", "500,502", "500,501")))
        .contains("all pieces have the same target", "at least two lengths");
    assertThat(refused(file("units.csv", HEADER, "500,19.685", "1000,39.37")))
        .contains("a scale of 0.03937", "two units");
    assertThat(refused(file("flat.csv", HEADER, "500,700", "1000,700"))).contains("a scale of 0,");
    // A nanometre apart, a hundred metres measured: the offset is beyond all lengths.
    assertThat(refused(file("near.csv", HEADER, "100000,100000", "99999.999999,1")))
        .contains("a scale of 99999000000,");
    assertThat(refused(folder.resolve("nowhere.csv"))).contains("there is no such file");
    assertThat(refused(file("huge.csv", HEADER + "\n" + "# remark\n".repeat(200_000))))
        .contains("larger than 1048576 bytes");
  }

  private static String refused(Path file) {
    Shell shell = Shell.run("calibrate", file);
    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.out()).isEmpty();
    assertThat(shell.err()).startsWith(file.toString()).hasLineCount(1);
    return shell.err();
  }

  @Test
  void wrongUsageIsToldApartFromABadConfiguration() throws IOException {
    Path pieces = norris();
    Path config = config("window: 0.1 mm");

    assertThat(Shell.run("calibrate").code()).isEqualTo(2);
    assertThat(Shell.run("calibrate", "--tolerance", "0", pieces).code()).isEqualTo(2);
    assertThat(Shell.run("calibrate", "--station", "saw1", pieces).code()).isEqualTo(2);
    Shell open = Shell.run("calibrate", "-c", config, pieces);
    assertThat(open.code()).isEqualTo(2);
    assertThat(open.err()).contains("--station NAME: saw1, saw2");
    Shell unknown = Shell.run("calibrate", "-c", config, "--station", "saw9", pieces);
    assertThat(unknown.code()).isEqualTo(2);
    assertThat(unknown.err()).contains("there is no station saw9");
    assertThat(Shell.run("calibrate", "-c", config("wnidow: 1 mm"), pieces).code()).isEqualTo(78);
  }

  @Test
  void theHelpIsPlainAndSaysThatNothingIsChanged() {
    Shell shell = Shell.run("calibrate", "--help");

    assertThat(shell.code()).isZero();
    assertThat(shell.out()).contains("Changes nothing", "--tolerance", "--without-outliers");
    assertThat(shell.out().chars()).allMatch(c -> c == '\n' || (c >= ' ' && c < 127));
    assertThat(shell.out().lines()).allMatch(line -> line.length() <= 80);
  }
}
