package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.SiteFolder;

final class CheckCommandTest {

  /** Nothing listens there: the port is reserved for a service long out of use. */
  private static final String NOBODY = "opcua: { endpoint: \"opc.tcp://127.0.0.1:9\" }";

  @TempDir Path root;

  private SiteFolder site;

  @BeforeEach
  void make() throws IOException {
    site = new SiteFolder(root.resolve("site"));
    site.configure(NOBODY);
  }

  private Shell check(String... more) {
    Object[] words = new Object[3 + more.length];
    words[0] = "check";
    words[1] = "-c";
    words[2] = site.config();
    System.arraycopy(more, 0, words, 3, more.length);
    return Shell.run(words);
  }

  private void replace(String what, String with) throws IOException {
    String text = Files.readString(site.config());
    assertThat(text).contains(what);
    Files.writeString(site.config(), text.replace(what, with));
  }

  @Test
  void aSiteThatWouldRunIsShownWithEverySettingInForce() throws IOException {
    site.stock();

    Shell shell = check();

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out())
        .contains("kerf: 3.2 mm", "# default", "Kerftally is no safety function")
        .endsWith(
            "\nNothing to mend. Next: check -c FILE --connect, which reads every signal of the"
                + " device.\n");
  }

  @Test
  void aMissingStockFileIsNamedWithItsFirstLine() {
    Shell shell = check();

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err()).contains("1. ", "stock.csv", "material,length,qty,cost,kind,label");
    assertThat(shell.out()).doesNotContain("Nothing to mend");
  }

  @Test
  void everyBadLineOfTheStockIsNamed() throws IOException {
    Files.write(
        site.folder.resolve("stock.csv"),
        List.of("material,length,qty", "pine,0,3", "pine,2400,some"));

    Shell shell = check();

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err().lines()).hasSize(2);
    assertThat(shell.err()).contains("stock.csv, line 2, length", "stock.csv, line 3, qty");
  }

  @Test
  void aFolderThatIsAFileIsAFault() throws IOException {
    replace("folder: .", "folder: taken.txt");
    Files.writeString(site.folder.resolve("taken.txt"), "");

    Shell shell = check();

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err()).contains("taken.txt", "no folder");
  }

  @Test
  void aBoardThatOthersCanReadIsRemarkedOn() throws IOException {
    site.stock();
    replace("board: off", "board: 0.0.0.0:8418\nboard-plain-text: accepted");

    Shell shell = check();

    assertThat(shell.code()).isZero();
    assertThat(shell.out()).contains("Note: the board can be read from other machines");
  }

  @Test
  void whatStandsInForALackingSignalIsSaidWithWhatIsLost() throws IOException {
    site.stock();
    site.configure(
        "opcua: { endpoint: \"opc.tcp://127.0.0.1:9\", lacks: { BootId: connection,"
            + " LastCut: watched } }");

    Shell shell = check();

    assertThat(shell.err()).isEmpty();
    assertThat(shell.out().lines())
        .contains(
            "Note: station saw1: the device has no BootId: each new connection counts as a"
                + " power-up of the device. What is lost: cuts made while the link was away are"
                + " booked by count alone, as unattributed; a power-up that leaves the connection"
                + " standing is not noticed.");
  }

  @Test
  void aBadConfigurationEndsWith78AndNamesLinePathAndMend() throws IOException {
    replace("kerf: 3.2 mm", "kref: 3.2 mm");

    Shell shell = check();

    assertThat(shell.code()).isEqualTo(78);
    assertThat(shell.err()).contains("kerftally.yaml", "line", "kref", "kerf");
    assertThat(shell.out()).isEmpty();
  }

  @Test
  void aStationThatDoesNotAnswerIsNamedWhenItIsToBeRead() throws IOException {
    site.stock();

    Shell shell = check("--connect");

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err()).startsWith("1. Station saw1: ");
  }

  @Test
  void withoutAConfigurationItIsWrongUsage() {
    assertThat(Shell.run("check").code()).isEqualTo(2);
  }
}
