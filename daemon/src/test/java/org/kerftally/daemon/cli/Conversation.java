package org.kerftally.daemon.cli;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.BiFunction;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine;

/** Runs a verb that asks, as a person at a terminal does: reads, then types. */
final class Conversation implements AutoCloseable {

  private static final Duration PATIENCE = Duration.ofMinutes(2);
  private static final Pattern QUESTION = Pattern.compile("type \"([^\"]+)\" and press Enter");

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();
  private final PipedOutputStream keys = new PipedOutputStream();
  private final PipedInputStream in;
  private final CompletableFuture<Void> stop = new CompletableFuture<>();
  private final CompletableFuture<Integer> code;

  Conversation(
      BiFunction<CompletableFuture<Void>, TypedLines, Callable<Integer>> verb, Object... words)
      throws IOException {
    in = new PipedInputStream(keys);
    CommandLine line =
        new CommandLine(verb.apply(stop, new TypedLines(in)))
            .setOut(new PrintWriter(out, true))
            .setErr(new PrintWriter(err, true));
    String[] arguments = new String[words.length];
    for (int i = 0; i < words.length; i++) {
      arguments[i] = String.valueOf(words[i]);
    }
    code = CompletableFuture.supplyAsync(() -> line.execute(arguments));
  }

  /** Waits until a text was said. */
  void awaitSaid(String text) {
    await(text).atMost(PATIENCE).until(() -> code.isDone() || said().contains(text));
    if (!said().contains(text)) {
      throw new AssertionError("it ended without \"" + text + "\":\n" + out() + err());
    }
  }

  /** Waits for the question and returns what it wants typed. */
  String awaitQuestion() {
    awaitSaid("and press Enter.");
    awaitSaid("sends nothing.");
    Matcher question = QUESTION.matcher(said());
    String words = "";
    while (question.find()) {
      words = question.group(1);
    }
    return words;
  }

  /** Types a line; a moment after the question, as a person does. */
  void type(String text) throws IOException, InterruptedException {
    TimeUnit.MILLISECONDS.sleep(300);
    keys.write((text + "\n").getBytes(StandardCharsets.UTF_8));
    keys.flush();
  }

  /** Ends standard input. */
  void hangUp() throws IOException {
    keys.close();
  }

  int code() throws Exception {
    return code.get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
  }

  /** Returns what was said on both streams. */
  String said() {
    return out() + err();
  }

  boolean isOver() {
    return code.isDone();
  }

  String out() {
    return out.toString();
  }

  String err() {
    return err.toString();
  }

  @Override
  public void close() throws Exception {
    stop.complete(null);
    keys.close();
    code.get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
    in.close();
  }
}
