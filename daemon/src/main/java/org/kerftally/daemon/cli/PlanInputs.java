package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.JobFileReader;
import org.kerftally.daemon.intake.JobReading;
import org.kerftally.daemon.intake.ShopFacts;
import org.kerftally.daemon.intake.StockFileReader;
import org.kerftally.daemon.intake.StockReading;
import org.kerftally.daemon.planning.UnplannableException;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

/**
 * Reads what {@code plan} is given: a job file and the stock that goes with it. Without a stock
 * file named, {@code NAME.stock.csv} beside {@code NAME.csv} is the stock, else {@code stock.csv}
 * in its folder together with {@code offcuts.csv} where there is one. Bare numbers in the stock are
 * in the job's unit, as the two are given together.
 */
final class PlanInputs {

  /** The same bound as the inbox's own. */
  private static final int MAX_BYTES = 16 << 20;

  /** Holds what was read: a job with its stock, or problems. */
  record Inputs(@Nullable JobOrder order, List<StockItem> stock, List<Problem> problems) {}

  private PlanInputs() {}

  static Inputs read(Path job, @Nullable Path stockFile, CutRules rules) {
    return read(job, stockFile == null ? stockFiles(job) : List.of(stockFile), rules);
  }

  /** Reads a job together with the stock of several files. */
  static Inputs read(Path job, List<Path> stockFiles, CutRules rules) {
    List<Problem> problems = new ArrayList<>();
    List<StockItem> stock = new ArrayList<>();
    byte[] content = bytes(job, problems);
    LengthUnit unit = content == null ? LengthUnit.MM : JobFileReader.unitOf(content, nameOf(job));
    for (Path file : stockFiles) {
      readStock(file, unit, stock, problems);
    }
    if (content == null || !problems.isEmpty()) {
      return new Inputs(null, stock, problems);
    }
    JobReading reading =
        JobFileReader.read(content, nameOf(job), new StockFacts(stock, rules), id -> false);
    if (reading instanceof JobReading.Bad bad) {
      return new Inputs(null, stock, bad.problems());
    }
    return new Inputs(((JobReading.Good) reading).order(), stock, List.of());
  }

  private static void readStock(
      Path file, LengthUnit unit, List<StockItem> stock, List<Problem> problems) {
    byte[] content = bytes(file, problems);
    if (content == null) {
      return;
    }
    StockReading reading = StockFileReader.read(content, nameOf(file), unit);
    if (reading instanceof StockReading.Bad bad) {
      problems.addAll(bad.problems());
    } else {
      stock.addAll(((StockReading.Good) reading).items());
    }
  }

  /** Returns the files that hold a job's stock where none is named. */
  static List<Path> stockFiles(Path job) {
    String name = nameOf(job).replaceFirst("\\.[^.]*$", "");
    Path own = job.resolveSibling(name + ".stock.csv");
    if (Files.exists(own)) {
      return List.of(own);
    }
    Path offcuts = job.resolveSibling("offcuts.csv");
    Path stock = job.resolveSibling("stock.csv");
    return Files.exists(offcuts) ? List.of(stock, offcuts) : List.of(stock);
  }

  private static String nameOf(Path file) {
    Path name = file.getFileName();
    return name == null ? file.toString() : name.toString();
  }

  private static byte @Nullable [] bytes(Path file, List<Problem> problems) {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] content = in.readNBytes(MAX_BYTES + 1);
      if (content.length <= MAX_BYTES) {
        return content;
      }
      problems.add(problem(file, "is larger than " + MAX_BYTES + " bytes", "Split it"));
    } catch (NoSuchFileException e) {
      problems.add(problem(file, "there is no such file", "Check the name, or use --stock"));
    } catch (IOException e) {
      problems.add(problem(file, "cannot be read: " + e.getMessage(), null));
    }
    return null;
  }

  /** Says of a job what the planner says of its numbers. */
  static Problem unplannable(String file, UnplannableException e) {
    return new Problem(file, 0, null, "this job cannot be planned: " + e.reason(), e.mend());
  }

  private static Problem problem(Path file, String message, @Nullable String hint) {
    return new Problem(file.toString(), 0, null, message, hint);
  }

  /** Knows the stock alone: no station bounds what can be cut. */
  private record StockFacts(List<StockItem> stock, CutRules rules) implements ShopFacts {

    @Override
    public List<String> stations() {
      return List.of();
    }

    @Override
    public List<String> materials() {
      Set<String> names = new LinkedHashSet<>();
      stock.forEach(item -> names.add(item.material()));
      return List.copyOf(names);
    }

    @Override
    public PartLimits limits(String material, @Nullable String station) {
      Length longest = null;
      for (StockItem item : stock) {
        if (item.material().equals(material)) {
          longest = longest == null ? item.length() : longest.max(item.length());
        }
      }
      if (longest == null) {
        return PartLimits.NONE;
      }
      Length rest = longest.minus(rules.leadTrim());
      boolean held = rules.tail().isPositive();
      Length part = held ? rest.minus(rules.kerf()).minus(rules.tail()) : rest;
      return new PartLimits(longest, part, null);
    }
  }
}
