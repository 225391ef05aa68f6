package org.kerftally.daemon.service;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.MemoryLog.Gone;
import org.kerftally.daemon.intake.folder.FileFacts;
import org.kerftally.daemon.intake.folder.FolderOps;

/**
 * Is the disk with a site's folders. A name given, changed or taken away lasts only once its folder
 * was forced: when the power fails, some of the latest such steps never happened. It can be full,
 * out of reach, and the process can end between any two steps. For one thread.
 */
final class ShiftFiles implements FolderOps {

  private static final class Node {
    final byte[] content;
    final long key;

    Node(byte[] content, long key) {
      this.content = content;
      this.key = key;
    }
  }

  /** Says how a step that is not forced yet is undone. */
  private record Step(Path one, Path other, Runnable undo) {}

  private final Map<Path, Map<Path, Node>> folders = new HashMap<>();
  private final Deque<Step> unforced = new ArrayDeque<>();
  private final SplittableRandom random;
  private long keys;

  boolean full;
  boolean away;

  /** After so many more steps the process is gone; negative for never. */
  int stepsToLive = -1;

  ShiftFiles(Path site, SplittableRandom random) {
    this.random = random;
    folders.put(site, new TreeMap<>());
  }

  /** Somebody in the office writes a file; for good, and with it whatever came before it there. */
  void drop(Path file, String text) {
    makeFolder(parent(file));
    forget(parent(file));
    folder(file).put(file, node(text.getBytes(StandardCharsets.UTF_8)));
  }

  /** Returns the contents of a folder's files. */
  Collection<String> contents(Path folder) {
    List<String> texts = new ArrayList<>();
    for (Node node : folders.getOrDefault(folder, new TreeMap<>()).values()) {
      texts.add(new String(node.content, StandardCharsets.UTF_8));
    }
    return texts;
  }

  /** The power fails: of the steps that were not forced, the last ones never happened. */
  void loseWhatWasNotForced() {
    int lost = unforced.isEmpty() ? 0 : random.nextInt(unforced.size() + 1);
    for (int i = 0; i < lost; i++) {
      unforced.removeLast().undo.run();
    }
    unforced.clear();
  }

  private Node node(byte[] content) {
    return new Node(content, ++keys);
  }

  private static Path parent(Path file) {
    return Objects.requireNonNull(file.getParent());
  }

  private Map<Path, Node> folder(Path file) {
    return Objects.requireNonNull(folders.get(parent(file)));
  }

  private void step(boolean writes) throws IOException {
    if (stepsToLive >= 0 && stepsToLive-- == 0) {
      throw new Gone();
    }
    if (away) {
      throw new IOException("the share is out of reach");
    }
    if (writes && full) {
      throw new IOException("no space left on the disk");
    }
  }

  private void put(Path file, @Nullable Node node) {
    if (node == null) {
      folder(file).remove(file);
    } else {
      folder(file).put(file, node);
    }
  }

  private void remember(Path one, @Nullable Node first, Path other, @Nullable Node second) {
    unforced.add(
        new Step(
            parent(one),
            parent(other),
            () -> {
              put(one, first);
              put(other, second);
            }));
  }

  @Override
  public List<FileFacts> list(Path folder) throws IOException {
    step(false);
    Map<Path, Node> files = folders.get(folder);
    if (files == null) {
      throw new NoSuchFileException(folder.toString());
    }
    List<FileFacts> all = new ArrayList<>(files.size());
    files.forEach((path, node) -> all.add(facts(path, node)));
    return all;
  }

  private static FileFacts facts(Path path, Node node) {
    return new FileFacts(
        path, FileFacts.Kind.REGULAR, node.content.length, FileTime.fromMillis(0), node.key);
  }

  @Override
  public @Nullable FileFacts look(Path file) throws IOException {
    step(false);
    Map<Path, Node> files = folders.get(parent(file));
    Node node = files == null ? null : files.get(file);
    return node == null ? null : facts(file, node);
  }

  @Override
  public byte[] read(Path file, int maxBytes) throws IOException {
    step(false);
    Node node = folder(file).get(file);
    if (node == null) {
      throw new NoSuchFileException(file.toString());
    }
    return node.content.clone();
  }

  @Override
  public void makeFolder(Path folder) {
    folders.computeIfAbsent(folder, f -> new TreeMap<>());
  }

  @Override
  public void write(Path file, byte[] content) throws IOException {
    step(true);
    Node before = folder(file).get(file);
    remember(file, before, file, before);
    put(file, node(content.clone()));
  }

  @Override
  public void replace(Path from, Path to) throws IOException {
    step(true);
    rename(from, to);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    step(true);
    if (folder(to).containsKey(to)) {
      throw new FileAlreadyExistsException(to.toString());
    }
    rename(from, to);
  }

  private void rename(Path from, Path to) throws IOException {
    Node node = folder(from).get(from);
    if (node == null) {
      throw new NoSuchFileException(from.toString());
    }
    remember(from, node, to, folder(to).get(to));
    put(from, null);
    put(to, node);
  }

  @Override
  public void delete(Path file) throws IOException {
    step(true);
    Node node = folder(file).get(file);
    remember(file, node, file, node);
    put(file, null);
  }

  @Override
  public void force(Path folder) throws IOException {
    step(false);
    forget(folder);
  }

  private void forget(Path forced) {
    unforced.removeIf(step -> step.one.equals(forced) || step.other.equals(forced));
  }
}
