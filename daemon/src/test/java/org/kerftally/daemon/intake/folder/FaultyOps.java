package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Performs the steps on real files, fails as planned, and lets a test act in between. */
final class FaultyOps implements FolderOps {

  private final FolderOps disk = new DiskFolderOps();
  private final Map<String, Runnable> before = new HashMap<>();
  private final Map<String, Runnable> after = new HashMap<>();
  private final Set<Path> unreadable = new HashSet<>();
  private FaultPlan faults = FaultPlan.none();
  private int reads;

  void failAs(FaultPlan plan) {
    faults = plan;
  }

  /** Runs once right before the next step of that name. */
  void before(String step, Runnable action) {
    before.put(step, action);
  }

  /** Runs once right behind the next step of that name. */
  void after(String step, Runnable action) {
    after.put(step, action);
  }

  /** Takes or gives back the permission to read a file, for whoever runs the test. */
  void setReadable(Path file, boolean readable) {
    if (readable) {
      unreadable.remove(file);
    } else {
      unreadable.add(file);
    }
  }

  int reads() {
    return reads;
  }

  @Override
  public List<FileFacts> list(Path folder) throws IOException {
    return step("list", () -> disk.list(folder));
  }

  @Override
  public @Nullable FileFacts look(Path file) throws IOException {
    return step("look", () -> disk.look(file));
  }

  @Override
  public byte[] read(Path file, int maxBytes) throws IOException {
    reads++;
    if (unreadable.contains(file)) {
      throw new AccessDeniedException(file.toString());
    }
    return step("read", () -> disk.read(file, maxBytes));
  }

  @Override
  public void makeFolder(Path folder) throws IOException {
    step("makeFolder", () -> done(() -> disk.makeFolder(folder)));
  }

  @Override
  public void write(Path file, byte[] content) throws IOException {
    byte[] reached = faults.nextIsHalfway() ? Arrays.copyOf(content, content.length / 2) : content;
    step("write", () -> done(() -> disk.write(file, reached)));
  }

  @Override
  public void replace(Path from, Path to) throws IOException {
    step("replace", () -> done(() -> disk.replace(from, to)));
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    step("move", () -> done(() -> disk.move(from, to)));
  }

  @Override
  public void delete(Path file) throws IOException {
    step("delete", () -> done(() -> disk.delete(file)));
  }

  @Override
  public void force(Path folder) throws IOException {
    step("force", () -> done(() -> disk.force(folder)));
  }

  private <T> T step(String name, Step<T> step) throws IOException {
    run(before.remove(name));
    faults.before(name);
    T result = step.run();
    run(after.remove(name));
    faults.after(name);
    return result;
  }

  private static void run(@Nullable Runnable action) {
    if (action != null) {
      action.run();
    }
  }

  private static Object done(Action action) throws IOException {
    action.run();
    return "done";
  }

  private interface Step<T> {
    T run() throws IOException;
  }

  private interface Action {
    void run() throws IOException;
  }
}
