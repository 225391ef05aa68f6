package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.problem.Problem;

class JobFileJsonTest {

  @Test
  void aJobIsReadWhole() {
    JobOrder order =
        good(
            """
            {"job":"Comb honey supers","due":"2027-03-01","units":"in","priority":2,
             "station":"saw1",
             "parts":[{"part":"super side","length":12.5,"qty":40,"material":"pine-19x146"},
                      {"length":"505 mm","qty":1,"material":"pine-27x22","priority":1,
                       "note":null}]}
            """);
    assertThat(order.name()).isEqualTo("Comb honey supers");
    assertThat(order.due()).isEqualTo(LocalDate.of(2027, 3, 1));
    assertThat(order.unit()).isEqualTo(LengthUnit.IN);
    assertThat(order.priority()).isEqualTo(2);
    assertThat(order.station()).isEqualTo("saw1");
    assertThat(order.parts())
        .containsExactly(
            new Part("super side", Length.ofNm(317_500_000), 40, "pine-19x146", 5, null),
            new Part("505 mm", Length.ofMm(505), 1, "pine-27x22", 1, null));
  }

  @Test
  void aNumberIsReadFromItsExactText() {
    // As a double 1000.000001 mm would be 1000.0000009999999 mm.
    assertThat(good(parts("{\"length\":1000.000001,\"qty\":1}")).parts().get(0).length())
        .isEqualTo(Length.ofNm(1_000_000_001));
  }

  @Test
  void whatTheParserSaysOfTheFileSteersNoTerminal() {
    assertThat(bad("{\"job\":ab\u0005\u0085cd}"))
        .singleElement()
        .satisfies(problem -> assertThat(problem.message()).contains("'ab<U+0005><U+0085>cd'"))
        .satisfies(problem -> assertThat(JobFileFuzz.isVisible(problem.text())).isTrue());
  }

  @Test
  void everyProblemHasItsLineAndPath() {
    List<Problem> problems =
        bad(
            """
            {"units":"mm", "colour":"red",
             "parts":[
              {"part":"a","length":0,"qty":1,"material":"pine-19x146"},
              {"part":"b","length":505,"qty":2.5,"material":"pine-19x146"},
              7,
              {"part":"d","length":[505],"qty":true,"material":"oak","size":1},
              {"qty":1,"material":"pine-19x146"}
             ]}
            """);
    assertThat(Reading.places(problems))
        .containsExactly(
            "1:colour",
            "3:parts[0].length",
            "4:parts[1].qty",
            "5:parts[2]",
            "6:parts[3].length",
            "6:parts[3].qty",
            "6:parts[3].size",
            "6:parts[3].material",
            "7:parts[4].length");
  }

  @ParameterizedTest
  @CsvSource({"5.05e2, exponent", "-505, negative", "1e999999999, exponent", "0, no length"})
  void aNumberThatIsNoLengthIsRefused(String number, String found) {
    assertThat(bad(parts("{\"length\":" + number + ",\"qty\":1}")).get(0).message())
        .contains(found);
  }

  @Test
  void keysWrittenTwiceAreRefused() {
    List<Problem> problems =
        bad(
            """
            {"units":"mm","units":"in","parts":[],
             "parts":[{"length":505,"qty":1,"qty":2,"material":"pine-27x22"}]}
            """);
    assertThat(Reading.places(problems)).containsExactly("1:units", "2:parts");
    assertThat(Reading.places(bad(parts("{\"length\":505,\"qty\":1,\"qty\":2}"))))
        .containsExactly("1:parts[0].qty");
  }

  @Test
  void onePartNameWithTwoLengthsIsRefusedWithBothPlaces() {
    Problem problem =
        bad(parts(
                "{\"part\":\"a\",\"length\":505,\"qty\":1},"
                    + "{\"part\":\"a\",\"length\":506,\"qty\":1}"))
            .get(0);
    assertThat(problem.column()).isEqualTo("parts[1].length");
    assertThat(problem.message()).contains("in parts[0] on line 1");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " ",
        "[]",
        "7",
        "{",
        "{}",
        "{\"parts\":{}}",
        "{\"parts\":[]}",
        "{\"parts\":[}",
        "{\"parts\":[{\"length\":505,\"qty\":1}]",
        "{\"parts\":[{\"length\":505,\"qty\":1}]} x",
        "{\"parts\":[{\"length\":505,\"qty\":1}]}{}",
        "{'parts':[{\"length\":505,\"qty\":1}]}",
        "{\"parts\":[{\"length\":NaN,\"qty\":1}]}",
        "{\"parts\":[{\"length\":505,\"qty\":1,}]}",
        "// remark\n{\"parts\":[{\"length\":505,\"qty\":1}]}",
        "part,length,qty\na,505,1\n",
        "{\"parts\":[{\"length\":\"505\u0000\",\"qty\":1}]}",
        "{\"parts\":[{\"part\":\"a\\u0000\",\"length\":505,\"qty\":1}]}",
        "{\"parts\":[{\"part\":\"\\ud800\",\"length\":505,\"qty\":1}]}",
      })
  void whatIsNoJobIsRefused(String text) {
    assertThat(Reading.bad(Reading.read("a.json", text, Facts.shop("ash")))).isNotEmpty();
  }

  @Test
  void aFaultInTheSyntaxIsNamedWithItsLine() {
    Problem problem = bad("{\"parts\":[\n{\"length\":505 \"qty\":1}\n]}").get(0);
    assertThat(problem.line()).isEqualTo(2);
    assertThat(problem.message()).startsWith("the JSON breaks off here");
  }

  @Test
  void depthNumbersTextsAndPartsAreBounded() {
    String deep = "[".repeat(100_000) + "]".repeat(100_000);
    assertThat(bad("{\"parts\":[" + deep + "]}")).hasSizeLessThan(5);
    assertThat(bad(parts("{\"length\":" + "9".repeat(2_000_000) + ",\"qty\":1}"))).hasSize(1);
    assertThat(bad(parts("{\"length\":505,\"qty\":1,\"note\":\"" + "x".repeat(2_000_000) + "\"}")))
        .hasSize(1);
    assertThat(bad("{\"" + "k".repeat(100_000) + "\":1}").get(0).text()).hasSizeLessThan(500);
    String many = "{\"length\":505,\"qty\":1},".repeat(20_001);
    assertThat(bad(parts(many.substring(0, many.length() - 1))).get(0).message())
        .contains("20000 parts");
  }

  private static String parts(String parts) {
    return "{\"parts\":[" + parts + "]}";
  }

  private static JobOrder good(String text) {
    boolean named = text.contains("material");
    return Reading.good(
        Reading.read("a.json", text, named ? Facts.shop() : Facts.shop("pine-27x22")));
  }

  private static List<Problem> bad(String text) {
    boolean named = text.contains("material");
    return Reading.bad(
        Reading.read("a.json", text, named ? Facts.shop() : Facts.shop("pine-27x22")));
  }
}
