package org.kerftally.daemon.service;

import java.io.IOException;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Set;

/** Wraps steps on files: every step is the real one, and asks first whether it is to fail. */
final class FaultyFiles {

  private static final Set<String> MOVES = Set.of("move", "replace");

  private FaultyFiles() {}

  /** Returns the steps, each of which may fail. */
  static <T> T wrap(Class<T> type, T real, FaultOnce faults) {
    Object proxy =
        Proxy.newProxyInstance(
            type.getClassLoader(),
            new Class<?>[] {type},
            (self, method, arguments) -> {
              boolean two = arguments.length > 1 && arguments[1] instanceof Path;
              Path file = (Path) arguments[two ? 1 : 0];
              String what = method.getName() + ' ' + file.getFileName();
              boolean writes = method.getName().equals("write");
              boolean torn = writes && faults.tears(what);
              Object[] given = arguments.clone();
              if (torn) {
                byte[] content = (byte[]) arguments[1];
                given[1] = Arrays.copyOf(content, content.length / 2);
              } else {
                faults.beforeFile(what);
              }
              Object result;
              try {
                result = method.invoke(real, given);
              } catch (InvocationTargetException e) {
                throw e.getCause();
              }
              if (torn) {
                throw new IOException("injected in the middle of " + what);
              }
              if (MOVES.contains(method.getName())) {
                faults.afterMove(what);
              }
              return result;
            });
    return type.cast(proxy);
  }
}
