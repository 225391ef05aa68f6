package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.config.wiring.MoveConfig.How;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;

/** Holds the page on wiring to the code: nothing left out, nothing said otherwise. */
class WiringDocTest {

  private static final Path DOCS = Path.of("..", "daemon", "docs");
  private static final Pattern BLOCK = Pattern.compile("(?s)```yaml\n(.*?)```");
  private static final Pattern LINK = Pattern.compile("\\]\\(((?:\\.\\./)[^)#]+|[a-z]+\\.md)\\)");
  private static final Pattern MESSAGE = Pattern.compile("(?m)^\\| (`{1,2})(.+?)\\1 \\| [^|]+ \\|");
  private static final int LEAST_MESSAGES = 60;

  private static final String STATION =
      """
      folder: site
      stations:
        - name: saw1
          layout: outfeed-stop
          kerf: 3.2 mm
          travel: { min: 20 mm, max: 4000 mm }
          link:
            opcua:
              endpoint: "opc.tcp://127.0.0.1:4840"
      """;

  private static String page() throws IOException {
    return Files.readString(DOCS.resolve("wiring.md"));
  }

  private static List<String> rows(String first) throws IOException {
    return page().lines().filter(line -> line.startsWith("| `" + first + "` |")).toList();
  }

  @ParameterizedTest
  @EnumSource
  void aStandInIsToldInTheWordsOfTheCode(StandIn standIn) throws IOException {
    assertThat(rows(standIn.signal()))
        .filteredOn(row -> row.contains("| `" + standIn.word() + "` |"))
        .singleElement()
        .asString()
        .contains(" " + standIn.standsIn() + " |", " " + standIn.lost() + " |");
  }

  @Test
  void everyKeyOfAPointIsExplained() throws IOException {
    for (String key : Keys.POINT) {
      assertThat(rows(key)).as(key).hasSize(1);
    }
  }

  @Test
  void everySignalHasItsRow() throws IOException {
    String table = section("| signal | says |", "Buttons that are on");
    for (String name : Signal.names()) {
      assertThat(table).contains("`" + name + "`");
    }
  }

  @ParameterizedTest
  @EnumSource
  void aHandshakeIsExplainedWithItsPoints(How how) throws IOException {
    String heading = "### `" + how.word() + "`";
    String text = section(heading, "\n##");
    Stream.concat(how.required().stream(), how.optional().stream())
        .forEach(point -> assertThat(text).as(how.word()).contains("`" + point + "`"));
  }

  private static String section(String from, String to) throws IOException {
    String page = page();
    int start = page.indexOf(from);
    assertThat(start).as(from).isNotNegative();
    int end = page.indexOf(to, start + from.length());
    return page.substring(start, end < 0 ? page.length() : end);
  }

  @Test
  void everyPieceOfConfigurationIsRead() throws IOException {
    int whole = 0;
    int moves = 0;
    Matcher block = BLOCK.matcher(page());
    while (block.find()) {
      String yaml = block.group(1);
      if (yaml.startsWith("folder:")) {
        whole++;
      } else {
        assertThat(yaml).startsWith("move:");
        yaml = STATION + yaml.indent(8);
        moves++;
      }
      assertThat(TestFiles.problems(yaml)).as(yaml).isEmpty();
    }
    assertThat(whole).isPositive();
    assertThat(moves).isGreaterThan(2);
  }

  @Test
  void theWorkedExampleIsRight() throws IOException {
    Matcher block = BLOCK.matcher(page());
    assertThat(block.find()).isTrue();
    StationConfig station = TestFiles.good(block.group(1)).config().stations().get(0);
    var unit = station.link().wiring().move().point("position").unit();

    assertThat(station.calibration().offset().toString()).isEqualTo("4500 mm");
    assertThat(unit).hasToString("0.0125 mm");
    // 505 mm at the blade is 3995 mm the other way, in counts.
    assertThat(unit.times(319_600).plus(station.calibration().offset().times(-1)))
        .hasToString("-505 mm");
  }

  /** A message is code in the source too, its parts around what differs. */
  @Test
  void everyMessageThatIsExplainedIsStillSaid() throws IOException {
    String sources = sources();
    int messages = 0;
    Matcher row = MESSAGE.matcher(section("## What each message means", "\n\n\n"));
    while (row.find()) {
      messages++;
      for (String part : row.group(2).strip().split("…", -1)) {
        assertThat(sources).as(row.group(2)).contains(part.replace("\"", "\\\"").strip());
      }
    }
    assertThat(messages).isGreaterThan(LEAST_MESSAGES);
  }

  private static String sources() throws IOException {
    List<Path> files = new ArrayList<>();
    for (String module : List.of("config", "protocol")) {
      try (Stream<Path> found = Files.walk(Path.of("..", module, "src", "main", "java"))) {
        found.filter(file -> file.toString().endsWith(".java")).forEach(files::add);
      }
    }
    StringBuilder text = new StringBuilder();
    for (Path file : files) {
      text.append(Files.readString(file));
    }
    return text.toString().replaceAll("\"\\s*\\+\\s*\"", "");
  }

  @Test
  void everyLinkLeadsSomewhere() throws IOException {
    Matcher link = LINK.matcher(page());
    List<String> targets = new ArrayList<>();
    while (link.find()) {
      targets.add(link.group(1));
      assertThat(DOCS.resolve(link.group(1))).exists();
    }
    assertThat(targets).contains("calibrate.md", "../../protocol/DEVICE.md");
    Arrays.stream(How.values())
        .filter(how -> how != How.CONTRACT)
        .forEach(
            how -> assertThat(targets).as(how.word()).anyMatch(file -> file.contains(how.word())));
  }
}
