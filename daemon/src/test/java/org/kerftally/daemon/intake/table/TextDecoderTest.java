package org.kerftally.daemon.intake.table;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.intake.table.TextDecoding.Decoded;
import org.kerftally.daemon.intake.table.TextDecoding.Undecodable;

class TextDecoderTest {

  private static final String TEXT = "part,length\nBrettstück für Zarge,505\n";

  @Test
  void utf8IsReadWithoutAByteOrderMark() {
    assertThat(text(TEXT.getBytes(StandardCharsets.UTF_8))).isEqualTo(TEXT);
  }

  @Test
  void utf8IsReadWithAByteOrderMarkThatIsNoPartOfTheText() {
    assertThat(text(marked(TEXT.getBytes(StandardCharsets.UTF_8), 0xEF, 0xBB, 0xBF)))
        .isEqualTo(TEXT);
  }

  @Test
  void utf16IsReadInBothByteOrdersWithAByteOrderMark() {
    assertThat(text(marked(TEXT.getBytes(StandardCharsets.UTF_16LE), 0xFF, 0xFE))).isEqualTo(TEXT);
    assertThat(text(marked(TEXT.getBytes(StandardCharsets.UTF_16BE), 0xFE, 0xFF))).isEqualTo(TEXT);
  }

  @Test
  void whatIsNoUtf8IsReadAsWindows1252() {
    assertThat(text("Latte für 5 €".getBytes(Charset.forName("windows-1252"))))
        .isEqualTo("Latte für 5 €");
  }

  @Test
  void aByteThatWindows1252DoesNotHaveIsNamedWithItsLine() {
    Undecodable bad = bad(new byte[] {'a', '\r', '\n', 'b', '\r', 'c', '\n', (byte) 0x81});
    assertThat(bad.line()).isEqualTo(4);
    assertThat(bad.message()).contains("Windows-1252");
    assertThat(bad.hint()).contains("UTF-8");
  }

  @Test
  void aBrokenSequenceBehindAUtf8MarkIsNoWindows1252() {
    assertThat(bad(marked(new byte[] {'a', '\n', (byte) 0xFC}, 0xEF, 0xBB, 0xBF)).line())
        .isEqualTo(2);
  }

  @Test
  void halfACharacterOfUtf16IsReported() {
    assertThat(bad(marked(new byte[] {'a', 0, 'b'}, 0xFF, 0xFE)).message()).contains("UTF-16");
    assertThat(bad(marked(new byte[] {0x00, (byte) 0xD8}, 0xFF, 0xFE)).message())
        .contains("UTF-16");
  }

  @Test
  void utf16WithoutAMarkIsReportedAsNoText() {
    assertThat(bad(TEXT.getBytes(StandardCharsets.UTF_16LE)).message()).contains("NUL");
  }

  @Test
  void utf32IsReported() {
    assertThat(bad(marked(new byte[] {'a', 0, 0, 0}, 0xFF, 0xFE, 0, 0)).message())
        .contains("UTF-32");
  }

  @Test
  void aWorkbookNamedCsvIsReportedAsSuch() {
    assertThat(bad(new byte[] {'P', 'K', 3, 4, 20, 0}).message()).contains("workbook");
  }

  @Test
  void noBytesAreEmptyText() {
    assertThat(text(new byte[0])).isEmpty();
  }

  private static String text(byte[] bytes) {
    return ((Decoded) TextDecoder.decode(bytes)).text();
  }

  private static Undecodable bad(byte[] bytes) {
    return (Undecodable) TextDecoder.decode(bytes);
  }

  private static byte[] marked(byte[] bytes, int... mark) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int b : mark) {
      out.write(b);
    }
    out.writeBytes(bytes);
    return out.toByteArray();
  }
}
