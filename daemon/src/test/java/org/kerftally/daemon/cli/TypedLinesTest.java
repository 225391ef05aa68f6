package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

final class TypedLinesTest {

  private final CompletableFuture<Void> running = new CompletableFuture<>();

  @Test
  void whatWasTypedBeforeTheQuestionIsNoAnswer() throws Exception {
    ByteArrayInputStream in =
        new ByteArrayInputStream("saw1 502\n".getBytes(StandardCharsets.UTF_8));
    TypedLines typed = new TypedLines(in);
    typed.start();
    await().until(() -> in.available() == 0);

    TypedLines.Typed answer = typed.ask(Duration.ofSeconds(20), running);

    assertThat(answer.line()).isNull();
    assertThat(answer.why()).isEqualTo("standard input has ended");
  }

  @Test
  void nothingTypedInTimeIsNoAnswer() throws Exception {
    try (PipedOutputStream keys = new PipedOutputStream();
        PipedInputStream in = new PipedInputStream(keys)) {
      TypedLines.Typed answer = new TypedLines(in).ask(Duration.ofSeconds(1), running);

      assertThat(answer.line()).isNull();
      assertThat(answer.why()).isEqualTo("nothing was typed within 1 s");
    }
  }

  @Test
  void aLineIsTakenWithoutTheSpacesAroundIt() throws Exception {
    try (PipedOutputStream keys = new PipedOutputStream();
        PipedInputStream in = new PipedInputStream(keys)) {
      TypedLines typed = new TypedLines(in);
      CompletableFuture<Void> later =
          CompletableFuture.runAsync(
              () -> {
                try {
                  keys.write("  säge1   502.5 \r\n".getBytes(StandardCharsets.UTF_8));
                  keys.flush();
                } catch (IOException e) {
                  throw new UncheckedIOException(e);
                }
              },
              CompletableFuture.delayedExecutor(500, TimeUnit.MILLISECONDS));

      assertThat(typed.ask(Duration.ofSeconds(20), running).line()).isEqualTo("säge1 502.5");
      later.join();
    }
  }

  @Test
  void aSignalEndsTheWaiting() throws Exception {
    try (PipedOutputStream keys = new PipedOutputStream();
        PipedInputStream in = new PipedInputStream(keys)) {
      running.complete(null);

      assertThatThrownBy(() -> new TypedLines(in).ask(Duration.ofMinutes(2), running))
          .isInstanceOf(InterruptedException.class);
    }
  }
}
