package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.MqttLinkConfig;

class BrokerLoginTest {

  @TempDir private Path folder;

  @Test
  void passwordIsTheFirstLineOfItsFileEachTimeItIsAskedFor() throws IOException {
    Path file = Files.writeString(folder.resolve("p"), "sésame\nnot this\n");
    BrokerLogin login = new BrokerLogin(config(file, null));
    assertThat(login.password()).isEqualTo("sésame".getBytes(StandardCharsets.UTF_8));

    Files.writeString(file, "changed");
    assertThat(login.password()).isEqualTo("changed".getBytes(StandardCharsets.UTF_8));
  }

  @Test
  void noPasswordIsConfiguredAndNoneGiven() throws IOException {
    assertThat(new BrokerLogin(config(null, null)).password()).isNull();
  }

  @Test
  void whatCannotBeAPasswordIsNamedByItsPlaceOnly() throws IOException {
    Path empty = Files.writeString(folder.resolve("empty"), "\nsecond\n");
    Path huge = Files.writeString(folder.resolve("huge"), "x".repeat(5000));

    for (Path file : new Path[] {empty, huge, folder.resolve("absent"), folder}) {
      assertThatThrownBy(() -> new BrokerLogin(config(file, null)).password())
          .isInstanceOf(IOException.class)
          .hasMessageContaining(file.toString())
          .hasMessageNotContaining("xxx")
          .hasMessageNotContaining("second");
    }
    assertThatThrownBy(() -> new BrokerLogin(config(null, "KERFTALLY_NO_SUCH_VARIABLE")).password())
        .isInstanceOf(IOException.class)
        .hasMessageContaining("KERFTALLY_NO_SUCH_VARIABLE");
  }

  private static MqttLinkConfig config(Path file, String variable) {
    return new MqttLinkConfig(
        "tcp://127.0.0.1",
        "p/",
        Map.of(),
        "saw1",
        file,
        Duration.ofSeconds(5),
        Duration.ofSeconds(4),
        variable);
  }
}
