package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.concurrent.CompletableFuture;
import picocli.CommandLine;

/** Runs the command line as a shell would, in this process, and keeps what it wrote. */
record Shell(int code, String out, String err) {

  static Shell run(Object... arguments) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    String[] words = new String[arguments.length];
    for (int i = 0; i < words.length; i++) {
      words[i] = String.valueOf(arguments[i]);
    }
    CommandLine line =
        Main.commandLine(new CompletableFuture<>())
            .setOut(new PrintWriter(out))
            .setErr(new PrintWriter(err));
    int code = line.execute(words);
    return new Shell(code, out.toString(), err.toString());
  }
}
