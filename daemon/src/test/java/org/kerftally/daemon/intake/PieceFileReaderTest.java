package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.problem.Problem;

final class PieceFileReaderTest {

  private static PieceReading read(String text) {
    return PieceFileReader.read(text.getBytes(StandardCharsets.UTF_8), "pieces.csv");
  }

  private static List<MeasuredPiece> good(String text) {
    PieceReading reading = read(text);
    assertThat(reading).isInstanceOf(PieceReading.Good.class);
    return ((PieceReading.Good) reading).pieces();
  }

  private static List<String> bad(String text) {
    PieceReading reading = read(text);
    assertThat(reading).isInstanceOf(PieceReading.Bad.class);
    return ((PieceReading.Bad) reading).problems().stream().map(Problem::text).toList();
  }

  private static MeasuredPiece piece(int line, long targetNm, long measuredNm) {
    return new MeasuredPiece(line, Length.ofNm(targetNm), Length.ofNm(measuredNm));
  }

  @Test
  void piecesAreReadWithTheirLines() {
    assertThat(good("target_mm,measured_mm\n500,500.12\n\n1000,1000.2\n"))
        .containsExactly(
            piece(2, 500_000_000, 500_120_000), piece(4, 1_000_000_000, 1_000_200_000));
  }

  @Test
  void columnsMayStandInAnyOrderBesideOthers() {
    assertThat(good("at,Measured_MM,gauge,target_mm,note,note\n9:15,500.12,\"12\",500,,\n"))
        .containsExactly(piece(2, 500_000_000, 500_120_000));
  }

  @Test
  void aMarkInFrontAndADecimalCommaAreWhatSpreadsheetsWrite() {
    assertThat(good("\uFEFFtarget_mm;measured_mm\r\n500;500,12\r\n"))
        .containsExactly(piece(2, 500_000_000, 500_120_000));
    assertThat(good("target_mm\tmeasured_mm\n500\t500.12\n"))
        .containsExactly(piece(2, 500_000_000, 500_120_000));
  }

  @Test
  void inchesMayBeFractions() {
    PieceReading reading = read("target_in,measured_in\n12-1/2,12.505\n6\",6 1/64\n");

    assertThat(reading)
        .isEqualTo(
            new PieceReading.Good(
                List.of(piece(2, 317_500_000, 317_627_000), piece(3, 152_400_000, 152_796_875)),
                LengthUnit.IN));
  }

  @Test
  void aLineBehindAHashIsARemarkWhateverItHolds() {
    assertThat(
            good(
                """
                # saw: the big one, measured by hand
                target_mm,measured_mm
                #500,500.9
                # units: in
                1000,1000.2
                """))
        .containsExactly(piece(5, 1_000_000_000, 1_000_200_000));
  }

  @Test
  void everythingThatIsWrongIsSaidAtOnce() {
    List<String> problems =
        bad("target_mm,measured_mm\n500,\nabc,500.1\n-5,5\n1000,1000.2\n1,100.5.5\n");

    assertThat(problems).hasSize(4);
    assertThat(problems.get(0)).startsWith("pieces.csv, line 2, measured_mm: ");
    assertThat(problems.get(1)).startsWith("pieces.csv, line 3, target_mm: \"abc\"");
    assertThat(problems.get(2)).startsWith("pieces.csv, line 4, target_mm: ").contains("negative");
    assertThat(problems.get(3)).startsWith("pieces.csv, line 6, measured_mm: ");
  }

  @Test
  void aMissingColumnIsNamed() {
    assertThat(bad("target_mm,mesured_mm\n500,500\n"))
        .containsExactly(
            "pieces.csv, line 1, measured_mm: the header row has no column measured_mm. add"
                + " measured_mm to the header row, and its value to every line");
    assertThat(bad("target_in,measured_mm\n5,127\n").get(0)).contains("no column target_mm");
    assertThat(bad("500,500.1\n").get(0)).contains("a header row was expected");
    assertThat(bad("").get(0)).contains("the file is empty");
  }

  @Test
  void aFileWithoutPiecesHasNone() {
    assertThat(good("target_mm,measured_mm\n,\n")).isEmpty();
  }

  @Test
  void moreThanAnybodyMeasuresIsRefused() {
    String text = "target_mm,measured_mm\n" + "500,500\n".repeat(PieceFileReader.MAX_PIECES + 1);

    assertThat(bad(text)).singleElement().asString().contains("line 5002", "more than 5000");
  }

  @Test
  void whatIsNoTextIsRefused() {
    PieceReading reading = PieceFileReader.read(new byte[] {'P', 'K', 3, 4, 0}, "pieces.csv");

    assertThat(((PieceReading.Bad) reading).problems().get(0).message()).contains("workbook");
  }
}
