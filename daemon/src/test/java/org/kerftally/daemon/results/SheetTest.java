package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.cuts;
import static org.kerftally.daemon.results.Jobs.sticks;

import java.io.StringReader;
import java.math.BigDecimal;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

class SheetTest {

  private static final Pattern RECT =
      Pattern.compile(
          "<rect class=\"(part|kerf|keep|waste)\" x=\"([0-9.]+)\" y=\"2\" width=\"([0-9.]+)\"");

  private static String sheet(JobOrder order, CutPlan plan) {
    return Sheet.write(
        new Sheet.Content(order, "saw1", plan, m -> Jobs.KERF, Jobs.START, ZoneOffset.UTC, null));
  }

  /** The page is also well-formed XML, but for the elements HTML leaves open. */
  private static Document parse(String html) throws Exception {
    String xml = html.replaceAll("<!doctype html>", "").replaceAll("(<meta [^>]*)>", "$1/>");
    return DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(xml)));
  }

  private static List<Element> all(Document page, String tag, String cssClass) {
    NodeList nodes = page.getElementsByTagName(tag);
    List<Element> found = new ArrayList<>();
    for (int i = 0; i < nodes.getLength(); i++) {
      Element element = (Element) nodes.item(i);
      if (cssClass.isEmpty() || element.getAttribute("class").equals(cssClass)) {
        found.add(element);
      }
    }
    return found;
  }

  @Test
  void tellsTheWholeJob() throws Exception {
    Document page = parse(Sheet.write(Samples.hive()));
    assertThat(all(page, "h1", "").get(0).getTextContent()).isEqualTo("Comb honey supers");
    assertThat(all(page, "p", "due").get(0).getTextContent()).contains("2027-03-01");
    assertThat(all(page, "dl", "facts").get(0).getTextContent())
        .contains("saw1", "comb-honey-supers.csv", "mm", "3.2 mm", "2027-03-01 09:15");
    assertThat(all(page, "ul", "totals").get(0).getTextContent())
        .contains("31", "sticks", "241", "pieces", "82.3 %", "yield", "waste");
    assertThat(all(page, "tr", "")).hasSize(7);
    assertThat(all(page, "div", "warning")).hasSize(2);
    assertThat(all(page, "div", "warning").get(1).getTextContent())
        .contains("90", "wedge", "22 mm");
    assertThat(all(page, "section", "")).hasSize(10);
    assertThat(all(page, "svg", "bar")).hasSize(10);
    assertThat(all(page, "footer", "").get(0).getTextContent())
        .contains("no safety function", "manual", "rules");
  }

  @Test
  void everyStickHasItsBoxAndAnOffcutItsLabel() throws Exception {
    Document page = parse(Sheet.write(Samples.hive()));
    int boxes = 0;
    for (Element row : all(page, "p", "boxes")) {
      boxes += row.getElementsByTagName("span").getLength();
    }
    for (Element row : all(page, "p", "boxes labelled")) {
      boxes += row.getElementsByTagName("span").getLength();
    }
    assertThat(boxes).isEqualTo(Samples.hivePlan().stickCount());
    assertThat(all(page, "span", "label"))
        .extracting(Element::getTextContent)
        .containsExactly("lies in the saw ", "offcut saw1-12", "offcut saw1-14");
    assertThat(all(page, "span", "count"))
        .extracting(Element::getTextContent)
        .startsWith("stick 1 of 31", "sticks 2–10 of 31")
        .endsWith("sticks 30–31 of 31");
  }

  @Test
  void segmentsAddUpToTheBarAndAreInProportion() {
    for (Sheet.Content content : List.of(Samples.hive(), Samples.greenhouse())) {
      String[] bars = Sheet.write(content).split("<svg class=\"bar\"", -1);
      List<PlannedSticks> patterns = content.plan().sticks();
      assertThat(bars).hasSize(patterns.size() + 1);
      for (int i = 0; i < patterns.size(); i++) {
        PlannedSticks sticks = patterns.get(i);
        StickDrawing drawing = StickDrawing.of(sticks, content.kerf().apply(sticks.material()));
        BigDecimal sum = BigDecimal.ZERO;
        int count = 0;
        Matcher rect = RECT.matcher(bars[i + 1]);
        while (rect.find()) {
          BigDecimal width = new BigDecimal(rect.group(3));
          BigDecimal from = new BigDecimal(rect.group(2));
          sum = sum.add(width);
          count++;
          assertThat(drawing.segments())
              .anySatisfy(
                  s -> {
                    double exact = s.length().nm() * 1000.0 / sticks.length().nm();
                    double place = s.from().nm() * 1000.0 / sticks.length().nm();
                    assertThat(width.doubleValue()).isBetween(exact - 0.001, exact + 0.001);
                    assertThat(from.doubleValue()).isBetween(place - 0.001, place + 0.001);
                  });
        }
        assertThat(sum).isEqualByComparingTo("1000");
        assertThat(count).isEqualTo(drawing.segments().size());
      }
    }
  }

  @Test
  void nothingFromAJobFileBecomesMarkup() throws Exception {
    String evil = "<script>alert('1')</script>\"><img src=x onerror=\"a()\">&amp;\u0000\u202e";
    JobOrder order =
        new JobOrder(
            evil,
            evil,
            evil,
            "00",
            null,
            LengthUnit.MM,
            1,
            null,
            List.of(new Part(evil, Length.ofMm(505), 1, evil, 1, evil)));
    PlannedSticks stick = sticks(1, 2440, cut(evil, 505));
    CutPlan plan =
        Jobs.plan(
            new PlannedSticks(
                evil,
                stick.length(),
                org.kerftally.shared.stock.StickKind.OFFCUT,
                evil,
                stick.cost(),
                1,
                stick.leadTrim(),
                stick.cuts(),
                stick.rest(),
                stick.offcut()));
    String html =
        Sheet.write(
            new Sheet.Content(order, evil, plan, m -> Jobs.KERF, Jobs.START, ZoneOffset.UTC, evil));
    assertThat(html)
        .doesNotContain("<script", "<img", "\u0000", "\u202e")
        .contains("&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt;&quot;&gt;&lt;img");
    Document page = parse(html);
    assertThat(all(page, "script", "")).isEmpty();
    assertThat(all(page, "h1", "").get(0).getTextContent())
        .isEqualTo(evil.replace('\u0000', '\ufffd').replace('\u202e', '\ufffd'));
  }

  @Test
  void saysThatEverySecondStickIsCutTheOtherWayRound() {
    PlannedSticks same = sticks(3, 2440, cut("side", 505), cut("end", 413));
    JobOrder order = Jobs.order("x", Jobs.part("side", 505, 3), Jobs.part("end", 413, 3));

    assertThat(sheet(order, Jobs.plan(same))).doesNotContain("Every second stick");
    assertThat(sheet(order, Jobs.plan(same.ordered(same.cuts(), CutOrder.TURNING))))
        .contains("Every second stick is cut in the opposite order");
  }

  @Test
  void needsNothingFromOutside() {
    assertThat(Sheet.write(Samples.hive()))
        .contains("default-src 'none'")
        .doesNotContain("http://", "https://", "//", "<link", "@import", "src=", "<script")
        .doesNotContainPattern("url\\((?!#)");
  }

  @Test
  void aBarOfManySmallPartsIsKeyedRunByRun() throws Exception {
    Document page =
        parse(
            sheet(
                Jobs.order("x", Jobs.part("peg", 12, 140)),
                Jobs.plan(sticks(1, 2440, cuts(140, cut("peg", 12))))));
    assertThat(all(page, "text", "number"))
        .extracting(Element::getTextContent)
        .containsExactly("1–140");
    assertThat(all(page, "ul", "key").get(0).getTextContent()).contains("1–140", "peg", "12 mm");
    assertThat(all(page, "text", "length")).hasSize(1);
  }

  @Test
  void numbersBelowTheBarNeverTouch() throws Exception {
    var mixed = new ArrayList<org.kerftally.shared.plan.Cut>();
    for (int i = 0; i < 60; i++) {
      mixed.add(cut(i % 2 == 0 ? "peg" : "pin", i % 2 == 0 ? 18 : 15));
    }
    Document page =
        parse(
            sheet(
                Jobs.order("x", Jobs.part("peg", 18, 30)),
                Jobs.plan(sticks(1, 2440, mixed.toArray(org.kerftally.shared.plan.Cut[]::new)))));
    var lastInRow = new java.util.HashMap<String, Double>();
    for (Element number : all(page, "text", "number")) {
      double half = number.getTextContent().length() * 13 * 0.5 / 2;
      double x = Double.parseDouble(number.getAttribute("x"));
      String row = number.getAttribute("y");
      assertThat(x - half).isGreaterThan(lastInRow.getOrDefault(row, -1.0));
      lastInRow.put(row, x + half);
    }
    assertThat(lastInRow).hasSizeBetween(2, 3);
    assertThat(all(page, "ul", "key").get(0).getElementsByTagName("li").getLength()).isEqualTo(62);
  }

  @Test
  void thousandsOfSticksAlikeGetALineInsteadOfBoxes() {
    String html =
        sheet(
            Jobs.order("x", Jobs.part("a", 505, 9)), Jobs.plan(sticks(5000, 2440, cut("a", 505))));
    assertThat(html).contains("and 4600 more").hasSizeLessThan(60_000);
  }

  @Test
  void theDefaultLocaleChangesNothingAndTheZoneTellsTheHour() {
    Locale before = Locale.getDefault();
    String expected = Sheet.write(Samples.hive());
    try {
      for (String tag : List.of("tr-TR", "de-DE", "ar-EG", "th-TH-u-ca-buddhist")) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        assertThat(Sheet.write(Samples.hive())).isEqualTo(expected);
      }
    } finally {
      Locale.setDefault(before);
    }
    Sheet.Content there =
        new Sheet.Content(
            Samples.hiveOrder(),
            null,
            Samples.hivePlan(),
            m -> Jobs.KERF,
            Jobs.START,
            ZoneId.of("Asia/Kathmandu"),
            null);
    assertThat(Sheet.write(there)).contains("2027-03-01 15:00");
  }
}
