package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

class RecordsTest {
  private static final String LINE_1 = "abc1,1,17,505.02,2027-03-01T09:15:02.000Z";
  private static final String LINE_2 = "abc1,2,18,413,2027-03-01T09:15:12.117Z";
  private static final LastCut CUT_1 =
      new LastCut("abc1", 1, 17, Length.ofNm(505_020_000), Instant.parse("2027-03-01T09:15:02Z"));
  private static final LastCut CUT_2 =
      new LastCut("abc1", 2, 18, Length.ofMm(413), Instant.parse("2027-03-01T09:15:12.117Z"));

  @TempDir Path folder;
  private Path truth;
  private Path memory;

  @BeforeEach
  void name() {
    truth = folder.resolve("truth.csv");
    memory = folder.resolve("memory");
  }

  @Test
  void appendsOneLineACutWithoutAHeader() throws IOException {
    try (Records records = new Records(truth, null, null)) {
      records.cut(CUT_1);
      assertThat(truth).hasContent(LINE_1 + "\n");
      records.cut(CUT_2);
    }
    assertThat(Files.readString(truth)).isEqualTo(LINE_1 + "\n" + LINE_2 + "\n");
  }

  @Test
  void goesOnWhereAnEarlierRunEnded() throws IOException {
    Files.writeString(truth, LINE_1 + "\n");
    try (Records records = new Records(truth, null, null)) {
      records.cut(CUT_2);
    }
    assertThat(Files.readString(truth)).isEqualTo(LINE_1 + "\n" + LINE_2 + "\n");
  }

  @Test
  void cutsOffEveryTornLineAndNothingElse() throws IOException {
    for (int torn = 0; torn <= LINE_2.length(); torn++) {
      Files.writeString(truth, LINE_1 + "\n" + LINE_2.substring(0, torn));
      new Records(truth, null, null).close();
      assertThat(Files.readString(truth)).as("torn at %s", torn).isEqualTo(LINE_1 + "\n");
    }
  }

  @Test
  void findsTheLastLineOfALongFile() throws IOException {
    Files.writeString(truth, (LINE_1 + "\n").repeat(1000) + LINE_2 + "\nabc1,3");
    try (TruthFile file = TruthFile.open(truth)) {
      assertThat(file.last()).isEqualTo(CUT_2);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "Dear diary",
        "Dear diary\n",
        "part,length,qty\n",
        "abc1,1,17,505.02\n",
        "abc1,1,17,505.02,yesterday\n",
        "abc1,1,17,505.02,2027-03-01T09:15:02.000Z\n\n"
      })
  void leavesAFileThatIsNoTruthAlone(String content) throws IOException {
    Files.writeString(truth, content);
    assertThatThrownBy(() -> TruthFile.open(truth))
        .isInstanceOf(SimInputException.class)
        .hasMessageContaining("truth.csv")
        .hasMessageContaining("Name another --truth file.");
    assertThat(Files.readString(truth)).isEqualTo(content);
  }

  @Test
  void remembersPowerUpCountAndLastCut() {
    try (Records records = new Records(null, memory, null)) {
      assertThat(records.remembered()).isEqualTo(NonVolatile.EMPTY);
      records.powerUp(NonVolatile.EMPTY.in("abc1"), CUT_1.at());
      assertThat(new MemoryFile(memory).read()).isEqualTo(new NonVolatile("abc1", 0, null));
      records.cut(CUT_1);
      records.cut(CUT_2);
    }
    try (Records records = new Records(null, memory, null)) {
      assertThat(records.remembered()).isEqualTo(NonVolatile.after(CUT_2));
    }
    assertThat(folder)
        .isDirectoryContaining("glob:**/memory")
        .isDirectoryNotContaining("glob:**.new");
  }

  @Test
  void bringsTheMemoryUpToATruthThatIsAhead() throws IOException {
    Files.writeString(truth, LINE_1 + "\n" + LINE_2 + "\n");
    new MemoryFile(memory).write(NonVolatile.after(CUT_1));
    try (Records records = new Records(truth, memory, null)) {
      assertThat(records.remembered()).isEqualTo(NonVolatile.after(CUT_2));
    }
  }

  @Test
  void bringsTheMemoryUpAfterTheVeryFirstCut() throws IOException {
    Files.writeString(truth, LINE_1 + "\n");
    new MemoryFile(memory).write(NonVolatile.EMPTY.in("abc1"));
    try (Records records = new Records(truth, memory, null)) {
      assertThat(records.remembered()).isEqualTo(NonVolatile.after(CUT_1));
    }
  }

  @Test
  void takesNothingFromATruthOfAnotherPowerUp() throws IOException {
    Files.writeString(truth, LINE_2 + "\n");
    NonVolatile other = NonVolatile.EMPTY.in("def2");
    new MemoryFile(memory).write(other);
    try (Records records = new Records(truth, memory, null)) {
      assertThat(records.remembered()).isEqualTo(other);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "abc1",
        "abc1,x\n",
        "abc1,2\n",
        "abc1,2\n" + LINE_1 + "\n",
        "abc1,1\n" + LINE_1 + "\n" + LINE_1 + "\n"
      })
  void refusesAMemoryThatIsNone(String content) throws IOException {
    Files.writeString(memory, content);
    assertThatThrownBy(() -> new Records(null, memory, null))
        .isInstanceOf(SimInputException.class)
        .hasMessageContaining("memory");
    assertThat(Files.readString(memory)).isEqualTo(content);
  }

  @Test
  void saysWhichFileCannotBeOpened() {
    Path nowhere = folder.resolve("no/such/folder/truth.csv");
    assertThatThrownBy(() -> new Records(nowhere, null, null))
        .isInstanceOf(UncheckedIOException.class)
        .hasMessageContaining(nowhere.toString());
  }

  @Test
  void writesDownPowerUpsPressesAndMovesInTheirOrder() throws IOException {
    Path moves = folder.resolve("moves.csv");
    Instant at = Instant.parse("2027-03-01T09:15:02Z");
    try (Records records = new Records(null, null, moves)) {
      records.powerUp(NonVolatile.EMPTY.in("abc1"), at);
      records.pressed("abc1", Button.ACKNOWLEDGE, 1, at);
    }
    try (Records records = new Records(null, null, moves)) {
      records.begun("abc1", 17, Length.ofMm(505), at);
    }
    assertThat(Files.readAllLines(moves))
        .containsExactly(
            "abc1,power-up,0,,2027-03-01T09:15:02.000Z",
            "abc1,acknowledge,1,,2027-03-01T09:15:02.000Z",
            "abc1,move,17,505,2027-03-01T09:15:02.000Z");
  }
}
