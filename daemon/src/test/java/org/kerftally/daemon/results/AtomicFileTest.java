package org.kerftally.daemon.results;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AtomicFileTest {

  @TempDir Path folder;

  @Test
  void makesTheFolderAndTheFileAndLeavesNothingBeside() throws IOException {
    Path file = folder.resolve("a/b/c.csv");
    AtomicFile.replace(file, "one".getBytes(UTF_8));
    AtomicFile.replace(file, "two, longer".getBytes(UTF_8));
    AtomicFile.replace(file, "3".getBytes(UTF_8));
    assertThat(file).hasContent("3");
    assertThat(file.getParent()).isDirectoryContaining("glob:**c.csv");
    try (var files = Files.list(file.getParent())) {
      assertThat(files).hasSize(1);
    }
  }

  @Test
  void takesOverWhatACrashLeftBeside() throws IOException {
    Path file = folder.resolve("c.csv");
    Files.writeString(folder.resolve(".c.csv.new"), "half of something much longer than this");
    AtomicFile.replace(file, "whole".getBytes(UTF_8));
    assertThat(file).hasContent("whole");
    assertThat(folder.resolve(".c.csv.new")).doesNotExist();
  }

  @Test
  void writesOnlyWhatDiffers() throws IOException {
    Path file = folder.resolve("c.csv");
    assertThat(AtomicFile.replaceIfDifferent(file, "same".getBytes(UTF_8))).isTrue();
    FileTime old = FileTime.fromMillis(1_000_000);
    Files.setLastModifiedTime(file, old);
    assertThat(AtomicFile.replaceIfDifferent(file, "same".getBytes(UTF_8))).isFalse();
    assertThat(Files.getLastModifiedTime(file)).isEqualTo(old);
    assertThat(AtomicFile.replaceIfDifferent(file, "else".getBytes(UTF_8))).isTrue();
    assertThat(file).hasContent("else");
  }

  @Test
  void aFailureLeavesTheOldFile() throws IOException {
    Path file = folder.resolve("c.csv");
    AtomicFile.replace(file, "old".getBytes(UTF_8));
    // A folder in the place of the file beside it cannot be opened for writing, as root or not.
    Files.createDirectories(folder.resolve(".c.csv.new/x"));
    assertThatThrownBy(() -> AtomicFile.replace(file, "new".getBytes(UTF_8)))
        .isInstanceOf(IOException.class);
    assertThat(file).hasContent("old");
  }
}
