package org.kerftally.protocol.certificates;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;

/** Keeps other processes out of a folder while something is made in it. */
record FolderLock(FileChannel channel, FileLock lock) implements AutoCloseable {

  static FolderLock acquire(Path folder) throws IOException {
    FileChannel channel =
        FileChannel.open(
            folder.resolve(".lock"), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
    boolean locked = false;
    try {
      FileLock lock = channel.lock();
      locked = true;
      return new FolderLock(channel, lock);
    } finally {
      if (!locked) {
        channel.close();
      }
    }
  }

  /** Fails when the lock was lost meanwhile. */
  void mustHold() throws IOException {
    if (!lock.isValid()) {
      throw new IOException("the lock of a folder was lost");
    }
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }
}
