package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SecretPlaceTest {

  @TempDir private Path folder;

  @Test
  void theSecretIsTheFirstLineEachTimeItIsAskedFor() throws IOException {
    Path file = Files.writeString(folder.resolve("p"), "sésame\nnot this\n");
    SecretPlace place = new SecretPlace(file, null);
    assertThat(place.read()).isEqualTo("sésame");

    Files.writeString(file, "changed");
    assertThat(place.read()).isEqualTo("changed");
  }

  @Test
  void aVariableHoldsItToo() throws IOException {
    assertThat(new SecretPlace(null, "P").read(name -> name + "-value")).isEqualTo("P-value");
  }

  @Test
  void whatCannotBeASecretIsNamedByItsPlaceOnly() throws IOException {
    Path empty = Files.writeString(folder.resolve("empty"), "\nsecond\n");
    Path huge = Files.writeString(folder.resolve("huge"), "x".repeat(5000));
    for (Path file : new Path[] {empty, huge, folder.resolve("absent"), folder}) {
      assertThatThrownBy(() -> new SecretPlace(file, null).read())
          .isInstanceOf(IOException.class)
          .hasMessageContaining(file.toString())
          .hasMessageNotContaining("xxx")
          .hasMessageNotContaining("second");
    }
    assertThatThrownBy(() -> new SecretPlace(null, "NO_SUCH").read(name -> null))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("NO_SUCH");
  }

  @Test
  void itsTextIsItsPlace() throws IOException {
    Path file = Files.writeString(folder.resolve("p"), "hunter2");
    assertThat(new SecretPlace(file, null)).hasToString("file " + file);
    assertThat(new SecretPlace(null, "P")).hasToString("environment variable P");
  }

  @Test
  void itHasOnePlace() {
    assertThatThrownBy(() -> new SecretPlace(null, null))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> new SecretPlace(Path.of("p"), "P"))
        .isInstanceOf(IllegalArgumentException.class);
    assertThat(SecretPlace.of(null, null)).isNull();
  }
}
