package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.bench.BenchCase;
import org.kerftally.daemon.planning.bench.InstanceText;
import org.kerftally.daemon.planning.bench.Optima;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;

/**
 * Reads the benchmark's files: instances in {@code .txt}, jobs in {@code NAME.csv} where {@code
 * NAME.stock.csv} lies beside it; all else in a folder is passed over. A class is what the table of
 * optima says, else the file's folder. What is wrong is collected, file by file.
 */
final class BenchFolders {

  /** The largest instance file or table of optima. */
  private static final int MAX_BYTES = 16 << 20;

  /** The most files of one run. */
  private static final int MAX_FILES = 100_000;

  private static final int MAX_DEPTH = 16;

  private final Optima optima = new Optima();
  private final List<Problem> problems = new ArrayList<>();
  private final List<BenchCase> cases = new ArrayList<>();

  List<Problem> problems() {
    return problems;
  }

  List<BenchCase> cases() {
    return cases;
  }

  void readOptima(Path file) {
    String text = text(file);
    if (text != null) {
      problems.addAll(optima.read(file.toString(), text));
    }
  }

  /** Reads a file, or all that lies in a folder and below. */
  void read(Path place, CutRules rules) {
    try (Stream<Path> walk = Files.walk(place, MAX_DEPTH)) {
      List<Path> files = walk.filter(Files::isRegularFile).limit(MAX_FILES + 1L).toList();
      if (files.size() > MAX_FILES) {
        problems.add(problem(place, "more than " + MAX_FILES + " files", "Name a smaller folder."));
        return;
      }
      for (Path file : files) {
        readFile(file, rules);
      }
    } catch (IOException e) {
      problems.add(problem(place, "cannot be read: " + e.getMessage(), "Check the folder's name."));
    }
  }

  private void readFile(Path file, CutRules rules) {
    String name = nameOf(file).replaceFirst("\\.[^.]*$", "");
    String lower = nameOf(file).toLowerCase(Locale.ROOT);
    if (lower.endsWith(".txt")) {
      String text = text(file);
      if (text == null) {
        return;
      }
      InstanceText.Reading reading = InstanceText.read(file.toString(), text);
      if (reading instanceof InstanceText.Bad bad) {
        problems.add(bad.problem());
      } else {
        InstanceText.Good good = (InstanceText.Good) reading;
        cases.add(new BenchCase.Packed(name, group(file, name), good.instance(), optimum(name)));
      }
    } else if (lower.endsWith(".csv") && Files.exists(file.resolveSibling(name + ".stock.csv"))) {
      PlanInputs.Inputs inputs = PlanInputs.read(file, (Path) null, rules);
      JobOrder order = inputs.order();
      if (order == null) {
        problems.addAll(inputs.problems());
      } else {
        PlanRequest request = new PlanRequest(order.parts(), inputs.stock(), Map.of(), rules);
        cases.add(new BenchCase.Job(name, group(file, name), request, optimum(name)));
      }
    }
  }

  private @Nullable BigDecimal optimum(String name) {
    Optima.Known known = optima.of(name);
    return known == null ? null : known.optimum();
  }

  private String group(Path file, String name) {
    Optima.Known known = optima.of(name);
    String group = known == null ? null : known.group();
    Path folder = file.toAbsolutePath().getParent();
    return group != null ? group : folder == null ? "" : nameOf(folder);
  }

  private @Nullable String text(Path file) {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] content = in.readNBytes(MAX_BYTES + 1);
      if (content.length <= MAX_BYTES) {
        return new String(content, StandardCharsets.UTF_8);
      }
      problems.add(problem(file, "is larger than " + MAX_BYTES + " bytes", null));
    } catch (IOException e) {
      problems.add(problem(file, "cannot be read: " + e.getMessage(), "Check the name."));
    }
    return null;
  }

  private static String nameOf(Path file) {
    return String.valueOf(file.getFileName());
  }

  private static Problem problem(Path file, String message, @Nullable String hint) {
    return new Problem(file.toString(), 0, null, message, hint);
  }
}
