package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.intake.Reading.goodCsv;

import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;

class JobFileCsvTest {

  private static final String SUPERS =
      """
      # job: Comb honey supers
      # due: 2027-03-01
      # units: mm
      part,length,qty,material,note
      super side,505,40,pine-19x146,
      super end,413,40,pine-19x146,
      top bar,483,400,pine-27x22,keep bark side up
      """;

  @Test
  void aCutListIsReadWhole() {
    JobOrder order = goodCsv(SUPERS);
    assertThat(order)
        .isEqualTo(
            new JobOrder(
                "supers",
                "Comb honey supers",
                "supers.csv",
                Sha256.hex(SUPERS.getBytes(StandardCharsets.UTF_8)),
                LocalDate.of(2027, 3, 1),
                LengthUnit.MM,
                5,
                null,
                List.of(
                    new Part("super side", Length.ofMm(505), 40, "pine-19x146", 5, null),
                    new Part("super end", Length.ofMm(413), 40, "pine-19x146", 5, null),
                    new Part(
                        "top bar", Length.ofMm(483), 400, "pine-27x22", 5, "keep bark side up"))));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "505",
        "505.0 mm",
        "0.505 m",
        "50.5 cm",
        "\"505\"",
        "  505  ",
        " \"505 mm\" ",
      })
  void aLengthMayCarryItsOwnUnit(String length) {
    assertThat(lengthOf("part,length,qty,material\nside," + length + ",1,pine-27x22\n"))
        .isEqualTo(Length.ofMm(505));
  }

  @ParameterizedTest
  @ValueSource(strings = {"12.5 in", "12 1/2\"", "12-1/2 in", "1' 0-1/2\"", "\"12 1/2\"\"\""})
  void aLengthMayBeWrittenInInches(String length) {
    assertThat(lengthOf("part,length,qty,material\nside," + length + ",1,pine-27x22\n"))
        .isEqualTo(Length.ofNm(317_500_000));
  }

  @Test
  void unitsOfTheFileHoldForBareNumbersOnly() {
    JobOrder order =
        goodCsv(
            "# units: in\npart,length,qty,material\na,12,1,pine-27x22\nb,120 mm,1,pine-27x22\n");
    assertThat(order.unit()).isEqualTo(LengthUnit.IN);
    assertThat(order.parts())
        .extracting(Part::length)
        .containsExactly(Length.ofNm(304_800_000), Length.ofMm(120));
  }

  @ParameterizedTest
  @ValueSource(strings = {";", "\t"})
  void aDecimalCommaIsReadWhereTheDelimiterIsNoComma(String delimiter) {
    String text = "part;length;qty;material\nside;505,5;2;pine-27x22\n".replace(";", delimiter);
    assertThat(lengthOf(text)).isEqualTo(Length.ofNm(505_500_000));
  }

  @Test
  void aQuotedDecimalCommaBetweenCommasIsRefusedNotGuessed() {
    assertThat(Reading.problemCsv("part,length,qty,material\nside,\"505,5\",2,pine-27x22\n").hint())
        .contains("505.5");
  }

  @Test
  void columnsComeInAnyOrderAndCase() {
    Part part =
        goodCsv("Note,QTY,Material,LENGTH,Part,Priority\nup,3,pine-27x22,483,top bar,2\n")
            .parts()
            .get(0);
    assertThat(part).isEqualTo(new Part("top bar", Length.ofMm(483), 3, "pine-27x22", 2, "up"));
  }

  @Test
  void blankLinesRemarksAndTrailingDelimitersDoNotMatter() {
    JobOrder order =
        goodCsv(
            """

            # cut on Monday
            ;;;;;
            # job: Frames;;;;
            length;qty;material;part;;
            ;;;;;
            483;4;pine-27x22;top bar;;

            # that is all
            """);
    assertThat(order.name()).isEqualTo("Frames");
    assertThat(order.parts()).hasSize(1);
  }

  @Test
  void statementsAreReadAsASpreadsheetSavesThem() {
    JobOrder order =
        goodCsv(
            """
            "# job: Supers, shallow",,,
            # due:,2027-03-01,,
            # priority: 2,,,
            # STATION : saw2,,,
            part,length,qty,material
            side,505,4,pine-19x146
            """);
    assertThat(order.name()).isEqualTo("Supers, shallow");
    assertThat(order.due()).isEqualTo("2027-03-01");
    assertThat(order.priority()).isEqualTo(2);
    assertThat(order.station()).isEqualTo("saw2");
  }

  @Test
  void aSeparatorLineOfASpreadsheetIsSkipped() {
    assertThat(goodCsv("sep=;\nlength;qty;material\n505;1;pine-27x22\n").parts()).hasSize(1);
  }

  @Test
  void theFileNameStandsInForTheJob() {
    JobOrder order =
        Reading.good(
            Reading.read("Hive stands.csv", "length,qty,material\n505,1,pine-27x22", Facts.shop()));
    assertThat(order.name()).isEqualTo("Hive stands");
    assertThat(order.id()).isEqualTo("hive-stands");
  }

  @Test
  void theLengthAsWrittenStandsInForThePart() {
    assertThat(goodCsv("length,qty,material\n505,1,pine-27x22\n0.4 m,1,pine-27x22").parts())
        .extracting(Part::name)
        .containsExactly("505", "0.4 m");
    assertThat(goodCsv("part,length,qty,material\n,505,1,pine-27x22\n").parts().get(0).name())
        .isEqualTo("505");
  }

  @Test
  void theOnlyMaterialInStockIsFilledIn() {
    JobOrder order = Reading.good(Reading.read("a.csv", "length,qty\n505,1", Facts.shop("ash")));
    assertThat(order.parts().get(0).material()).isEqualTo("ash");
    order = Reading.good(Reading.read("a.csv", "length,qty\n505,1", Facts.shop("")));
    assertThat(order.parts().get(0).material()).isEmpty();
  }

  @Test
  void linesThatRepeatAPartAddUp() {
    JobOrder order =
        goodCsv(
            """
            part,length,qty,material,note
            side,505,40,pine-19x146,
            end,413,1,pine-19x146,
            side,50.5 cm,2,pine-19x146,bark up
            side,505,3,pine-19x146,bark up
            side,505,3,pine-27x22,
            """);
    assertThat(order.parts())
        .containsExactly(
            new Part("side", Length.ofMm(505), 45, "pine-19x146", 5, "bark up"),
            new Part("end", Length.ofMm(413), 1, "pine-19x146", 5, null),
            new Part("side", Length.ofMm(505), 3, "pine-27x22", 5, null));
  }

  @Test
  void aLineBreakInANoteIsReadAsABlank() {
    JobOrder order =
        goodCsv("length,qty,material,note\n505,1,pine-27x22,\"bark\r\nup\"\n400,1,pine-27x22,\n");
    assertThat(order.parts().get(0).note()).isEqualTo("bark up");
  }

  @Test
  void everyEncodingOfTheOfficeGivesTheSameNames() {
    String text = "part,length,qty,material\nZargenbrett für Süd,505,1,pine-27x22\n";
    for (String charset : new String[] {"UTF-8", "windows-1252", "UTF-16"}) {
      JobReading reading =
          JobFileReader.read(
              text.getBytes(Charset.forName(charset)), "süd.csv", Facts.shop(), id -> false);
      assertThat(Reading.good(reading).parts().get(0).name()).isEqualTo("Zargenbrett für Süd");
    }
  }

  @Test
  void aPartThatBeginsWithAHashIsKeptInQuotationMarks() {
    assertThat(goodCsv("part,length,qty,material\n\"#4 rail\",505,1,pine-27x22\n").parts())
        .extracting(Part::name)
        .containsExactly("#4 rail");
  }

  @Test
  void theDefaultLocaleChangesNothing() {
    Locale before = Locale.getDefault();
    String text = SUPERS.replace("units", "UNITS").replace("part,length", "PART,LENGTH");
    JobOrder expected = goodCsv(text);
    try {
      for (String tag : new String[] {"tr-TR", "de-DE", "ar-EG"}) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        assertThat(goodCsv(text)).isEqualTo(expected);
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  private static Length lengthOf(String text) {
    return goodCsv(text).parts().get(0).length();
  }
}
