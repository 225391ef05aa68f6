package org.kerftally.daemon.service;

import java.lang.reflect.InvocationHandler;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.Proxy;
import java.sql.Connection;
import java.sql.Driver;
import java.sql.DriverManager;
import java.sql.DriverPropertyInfo;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Collections;
import java.util.Properties;
import java.util.function.Supplier;
import java.util.logging.Logger;
import org.jspecify.annotations.Nullable;
import org.sqlite.JDBC;

/**
 * Stands in for the database's driver: every statement is the real one, and asks first whether it
 * is to fail. Databases in memory are left alone. Nothing is forced to the disk, since nothing here
 * cuts the power.
 */
final class FaultyDatabase implements Driver, AutoCloseable {

  private final Driver real = new JDBC();
  private final Supplier<FaultOnce> faults;

  private FaultyDatabase(Supplier<FaultOnce> faults) {
    this.faults = faults;
  }

  /** Takes the real driver's place until closed. */
  static FaultyDatabase install(Supplier<FaultOnce> faults) throws SQLException {
    for (Driver driver : Collections.list(DriverManager.getDrivers())) {
      if (driver instanceof JDBC) {
        DriverManager.deregisterDriver(driver);
      }
    }
    FaultyDatabase faulty = new FaultyDatabase(faults);
    DriverManager.registerDriver(faulty);
    return faulty;
  }

  @Override
  public void close() throws SQLException {
    DriverManager.deregisterDriver(this);
    DriverManager.registerDriver(real);
  }

  @Override
  public @Nullable Connection connect(String url, Properties info) throws SQLException {
    Connection connection = real.connect(url, info);
    if (connection == null || url.contains(":memory:")) {
      return connection;
    }
    return wrap(Connection.class, connection, "");
  }

  private <T> T wrap(Class<T> type, T target, String sql) {
    InvocationHandler handler =
        (proxy, method, arguments) -> {
          boolean runs = target instanceof Statement && method.getName().startsWith("execute");
          String text =
              arguments != null && arguments.length > 0 && arguments[0] instanceof String given
                  ? given
                  : sql;
          if (runs) {
            faults.get().beforeStatement(text.strip());
          }
          Object result = call(method, target, unforced(arguments));
          if (runs) {
            faults.get().afterStatement(text.strip());
          }
          if (result instanceof PreparedStatement prepared) {
            return wrap(PreparedStatement.class, prepared, text);
          }
          return result instanceof Statement statement
              ? wrap(Statement.class, statement, text)
              : result;
        };
    return type.cast(Proxy.newProxyInstance(type.getClassLoader(), new Class<?>[] {type}, handler));
  }

  private static Object @Nullable [] unforced(Object @Nullable [] arguments) {
    return arguments != null
            && arguments.length == 1
            && "PRAGMA synchronous = FULL".equals(arguments[0])
        ? new Object[] {"PRAGMA synchronous = OFF"}
        : arguments;
  }

  private static @Nullable Object call(Method method, Object target, Object @Nullable [] arguments)
      throws Throwable {
    try {
      return method.invoke(target, arguments);
    } catch (InvocationTargetException e) {
      throw e.getCause();
    }
  }

  @Override
  public boolean acceptsURL(String url) throws SQLException {
    return real.acceptsURL(url);
  }

  @Override
  public DriverPropertyInfo[] getPropertyInfo(String url, Properties info) throws SQLException {
    return real.getPropertyInfo(url, info);
  }

  @Override
  public int getMajorVersion() {
    return real.getMajorVersion();
  }

  @Override
  public int getMinorVersion() {
    return real.getMinorVersion();
  }

  @Override
  public boolean jdbcCompliant() {
    return false;
  }

  @Override
  public Logger getParentLogger() {
    return Logger.getGlobal();
  }
}
