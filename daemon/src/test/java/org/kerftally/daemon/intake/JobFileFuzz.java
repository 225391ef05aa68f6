package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.problem.Problem;

/**
 * Holds that the bytes of a job file are a job within bounds, which written anew reads as the same,
 * or a list of problems that name their places; and that neither takes more memory than a small
 * multiple of the bytes given.
 */
final class JobFileFuzz {

  private static final int LONGEST_PROBLEM_CHARS = 2_000;
  private static final int MOST_CELL_CHARS = 200;
  private static final int MOST_NOTE_CHARS = 400;
  private static final JsonMapper MAPPER = new JsonMapper();

  private JobFileFuzz() {}

  static void check(byte[] bytes, String fileName) {
    JobReading reading =
        Allocation.bounded(
            bytes.length, () -> JobFileReader.read(bytes, fileName, Facts.shop(), id -> false));
    if (reading instanceof JobReading.Bad bad) {
      assertNamePlaces(bad.problems(), bytes, fileName);
      return;
    }
    JobOrder order = ((JobReading.Good) reading).order();
    assertWithinBounds(order, fileName);
    byte[] anew = json(order);
    JobReading again = JobFileReader.read(anew, "again.json", Facts.shop(), id -> false);
    assertThat(again).as("%s", order).isInstanceOf(JobReading.Good.class);
    JobOrder same = ((JobReading.Good) again).order();
    assertThat(same)
        .isEqualTo(
            new JobOrder(
                "again",
                order.name(),
                "again.json",
                same.sha256(),
                order.due(),
                order.unit(),
                order.priority(),
                order.station(),
                order.parts().stream().map(JobFileFuzz::withWritableNote).toList()));
  }

  /** A byte begins one line at most. */
  static void assertNamePlaces(List<Problem> problems, byte[] bytes, String fileName) {
    assertThat(problems.size()).isBetween(1, Problems.MAX_PROBLEMS + 1);
    for (Problem problem : problems) {
      String text = problem.text();
      assertThat(problem.file()).isEqualTo(fileName);
      assertThat(problem.line()).as(text).isBetween(0, bytes.length + 1);
      assertThat(problem.message().isBlank()).isFalse();
      String hint = problem.hint();
      assertThat(hint == null || !hint.isBlank()).isTrue();
      assertThat(text.length()).as(text).isLessThan(LONGEST_PROBLEM_CHARS);
      assertThat(isVisible(text)).as(text).isTrue();
    }
  }

  private static void assertWithinBounds(JobOrder order, String fileName) {
    assertThat(order.file()).isEqualTo(fileName);
    assertThat(order.sha256()).matches("[0-9a-f]{64}");
    assertThat(order.priority()).isBetween(1, CellReader.MAX_PRIORITY);
    assertCell(order.name(), MOST_CELL_CHARS);
    assertThat(order.parts()).isNotEmpty();
    String station = order.station();
    assertThat(station == null || Facts.shop().stations().contains(station)).isTrue();
    long pieces = 0;
    for (Part part : order.parts()) {
      assertCell(part.name(), MOST_CELL_CHARS);
      assertThat(part.length()).isBetween(Facts.REACH.min(), Facts.REACH.max());
      assertThat(part.quantity()).isBetween(1, CellReader.MAX_QUANTITY);
      assertThat(Facts.shop().materials()).contains(part.material());
      assertThat(part.priority()).isBetween(1, CellReader.MAX_PRIORITY);
      String note = part.note();
      if (note != null) {
        assertCell(note, MOST_NOTE_CHARS);
      }
      pieces += part.quantity();
    }
    assertThat(pieces).isLessThanOrEqualTo(PartList.MAX_PIECES);
    assertThat(order.parts().stream().map(part -> part.name() + '\0' + part.material()).distinct())
        .hasSameSizeAs(order.parts());
  }

  static void assertCell(String text, int mostChars) {
    assertThat(text.isBlank()).isFalse();
    assertThat(text.length()).as(text).isLessThanOrEqualTo(mostChars);
    assertThat(isVisible(text)).as(text).isTrue();
  }

  /** The joiners alone show nothing and yet are let through: some scripts are spelt with them. */
  static boolean isVisible(String text) {
    return text.codePoints()
        .noneMatch(
            c ->
                switch (Character.getType(c)) {
                  case Character.CONTROL,
                      Character.SURROGATE,
                      Character.LINE_SEPARATOR,
                      Character.PARAGRAPH_SEPARATOR ->
                      true;
                  case Character.FORMAT -> c != 0x200C && c != 0x200D;
                  default -> false;
                });
  }

  private static byte[] json(JobOrder order) {
    ObjectNode job = MAPPER.createObjectNode();
    job.put("job", order.name());
    job.put("units", order.unit().symbol());
    job.put("priority", order.priority());
    if (order.due() != null) {
      job.put("due", order.due().toString());
    }
    if (order.station() != null) {
      job.put("station", order.station());
    }
    ArrayNode parts = job.putArray("parts");
    for (Part part : order.parts()) {
      ObjectNode node = parts.addObject();
      node.put("part", part.name());
      node.put("length", part.length().toString());
      node.put("qty", part.quantity());
      node.put("material", part.material());
      node.put("priority", part.priority());
      node.put("note", note(part));
    }
    return job.toString().getBytes(StandardCharsets.UTF_8);
  }

  private static Part withWritableNote(Part part) {
    return new Part(
        part.name(), part.length(), part.quantity(), part.material(), part.priority(), note(part));
  }

  /**
   * A note that was joined from several lines' may be longer than a cell may be: it is left out.
   */
  private static @Nullable String note(Part part) {
    String note = part.note();
    return note == null || note.length() > MOST_CELL_CHARS ? null : note;
  }
}
