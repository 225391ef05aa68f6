package org.kerftally.daemon.site;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/** A site's folder as the office and an SQLite client see it: files go in, views are read. */
public final class SiteFolder {

  /** Far more than any job here takes: a slow machine must not fail the build. */
  public static final Duration PATIENCE = Duration.ofMinutes(5);

  public final Path folder;

  public SiteFolder(Path folder) throws IOException {
    this.folder = folder;
    Files.createDirectories(folder.resolve("inbox"));
  }

  public Path config() {
    return folder.resolve("kerftally.yaml");
  }

  public Path truth() {
    return folder.resolve("truth.csv");
  }

  public Path memory() {
    return folder.resolve("memory");
  }

  /** Writes a configuration for one station, with a link given as one line of YAML. */
  public void configure(String link) throws IOException {
    Files.writeString(
        config(),
        String.join(
            "\n",
            "folder: .",
            "board: off",
            "intake: { poll: 50 ms, min-age: 100 ms }",
            "stations:",
            "  - name: saw1",
            "    layout: outfeed-stop",
            "    kerf: 3.2 mm",
            "    lead-trim: 10 mm",
            "    travel: { min: 20 mm, max: 4000 mm }",
            "    link:",
            "      " + link,
            ""));
  }

  public void stock() throws IOException {
    put(
        folder.resolve("stock.csv"),
        "material,length,qty,cost,kind,label",
        "pine-19x146,2400,40,,new,",
        "pine-19x146,1130,1,,offcut,P-11");
  }

  public void drop(String name, String... lines) throws IOException {
    put(folder.resolve("inbox").resolve(name), lines);
  }

  private static void put(Path file, String... lines) throws IOException {
    Path part = file.resolveSibling(file.getFileName() + ".part");
    Files.write(part, List.of(lines));
    Files.move(part, file, StandardCopyOption.ATOMIC_MOVE);
  }

  /** Returns the rows of a query, cells joined by commas; none before there is a log. */
  public List<String> rows(String sql) {
    if (!Files.exists(folder.resolve("kerftally.db"))) {
      return List.of();
    }
    List<String> rows = new ArrayList<>();
    String url = "jdbc:sqlite:" + folder.resolve("kerftally.db");
    try (Connection connection = DriverManager.getConnection(url);
        Statement statement = connection.createStatement();
        ResultSet result = statement.executeQuery(sql)) {
      int columns = result.getMetaData().getColumnCount();
      while (result.next()) {
        List<String> cells = new ArrayList<>();
        for (int i = 1; i <= columns; i++) {
          cells.add(String.valueOf(result.getString(i)));
        }
        rows.add(String.join(",", cells));
      }
    } catch (SQLException e) {
      // The file is there a moment before the views in it are.
      if (String.valueOf(e.getMessage()).contains("no such table")) {
        return List.of();
      }
      throw new IllegalStateException(sql, e);
    }
    return rows;
  }

  public int made(String job) {
    List<String> rows = rows("select sum(made) from job_counts where job = '" + job + "'");
    return rows.isEmpty() || rows.get(0).equals("null") ? 0 : Integer.parseInt(rows.get(0));
  }

  public void awaitMade(String job, int pieces) {
    await(job + " has " + pieces + " pieces")
        .atMost(PATIENCE)
        .pollInterval(Duration.ofMillis(100))
        .until(() -> made(job) >= pieces);
  }

  /** The saw cycles in the log, as {@code boot,count,seq}. */
  public Set<String> booked() {
    return new TreeSet<>(rows("select boot, count, seq from cut_log where count is not null"));
  }

  /** The saw cycles there really were, as {@code boot,count,seq}. */
  public Set<String> cut() throws IOException {
    Set<String> cycles = new TreeSet<>();
    if (Files.exists(truth())) {
      for (String line : Files.readAllLines(truth())) {
        String[] cells = line.split(",", -1);
        cycles.add(cells[0] + "," + cells[1] + "," + cells[2]);
      }
    }
    return cycles;
  }
}
