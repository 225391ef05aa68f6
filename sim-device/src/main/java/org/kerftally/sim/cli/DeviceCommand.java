package org.kerftally.sim.cli;

import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.Objects;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.SimInputException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/**
 * Runs one simulated device until it is told to stop.
 *
 * <p>Threading: the thread that calls it waits; {@code stop} may be completed from any thread.
 */
@Command(
    name = "kerftally-sim-device",
    description = {
      "Simulates a stop positioner, its crosscut saw and the operator, served over OPC UA or MQTT.",
      ""
    },
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    sortOptions = false,
    usageHelpAutoWidth = true,
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:Stopped by a signal.",
      "1:Something given is wrong or cannot be used: a file, a port, a full disk.",
      "2:Wrong usage.",
      "70:A fault of the program's own."
    })
final class DeviceCommand implements Callable<Integer> {
  private static final int DEFAULT_PORT = 4840;
  private static final int MAX_PORT = 65_535;
  private static final String DEFAULT_BROKER = "tcp://127.0.0.1:1883";
  private static final Pattern STATION = Pattern.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,63}");
  private static final Pattern BROKER = Pattern.compile("(?:tcp|ssl)://[!-~]{1,250}");

  @Option(
      names = "--link",
      required = true,
      paramLabel = "opcua|mqtt",
      description = "The protocol to serve the device over.")
  private @Nullable LinkKind link;

  @Option(
      names = "--port",
      paramLabel = "N",
      description = "With opcua: the port on 127.0.0.1, 0 for any free one. Default: 4840.")
  private @Nullable Integer port;

  @Option(
      names = "--broker",
      paramLabel = "URL",
      description = "With mqtt: the broker. Default: " + DEFAULT_BROKER + ".")
  private @Nullable String broker;

  @Option(
      names = "--station",
      paramLabel = "NAME",
      defaultValue = "saw1",
      description = "The station's name, part of its topics. Default: ${DEFAULT-VALUE}.")
  private String station = "saw1";

  @Option(
      names = "--speed",
      paramLabel = "X",
      defaultValue = "1",
      description = "Simulated seconds in a real one. Default: ${DEFAULT-VALUE}.")
  private double speed;

  @Option(
      names = "--seed",
      paramLabel = "N",
      defaultValue = "1",
      description = "The seed of every chance. Default: ${DEFAULT-VALUE}.")
  private long seed;

  @Option(
      names = "--reject-rate",
      paramLabel = "P",
      defaultValue = "0.02",
      description = "Which part of the pieces is rejected, 0 to 1. Default: ${DEFAULT-VALUE}.")
  private double rejectRate;

  @Option(
      names = "--no-operator",
      description = "Nobody at the machine: only the script presses and cuts.")
  private boolean noOperator;

  @Option(
      names = "--script",
      paramLabel = "FILE",
      description = "Timed actions and faults, a line each: at_seconds,action[,value].")
  private @Nullable Path script;

  @Option(
      names = "--truth",
      paramLabel = "FILE",
      description = "Append every saw cycle before it is reported: boot,count,seq,position_mm,at.")
  private @Nullable Path truth;

  @Option(
      names = "--memory",
      paramLabel = "FILE",
      description = "The device's non-volatile memory: count and last cut.")
  private @Nullable Path memory;

  @Option(
      names = "--moves",
      paramLabel = "FILE",
      description = "Append power-ups, presses and moves: boot,what,number,position_mm,at.")
  private @Nullable Path moves;

  @Mixin private SecurityOptions security = new SecurityOptions();

  @Spec private @Nullable CommandSpec spec;

  private final CompletableFuture<Void> stop;

  /** Makes a command that runs until {@code stop} is completed. */
  DeviceCommand(CompletableFuture<Void> stop) {
    this.stop = stop;
  }

  @Override
  public Integer call() {
    Front front = front();
    SimConfig config = config();
    try (SimDevice device = SimDevice.open(config)) {
      return serve(device, front);
    } catch (SimInputException | UncheckedIOException e) {
      return refuse(e.getMessage());
    }
  }

  private int serve(SimDevice device, Front front) {
    DeviceServer server;
    try {
      server = front.open(device);
    } catch (IllegalStateException | IllegalArgumentException e) {
      return refuse(e.getMessage());
    }
    try (server) {
      PrintWriter out = spec().commandLine().getOut();
      out.println("simulated device " + station + " ready at " + server.address());
      out.flush();
      CompletableFuture.anyOf(stop, device.failure()).join();
    }
    Throwable failure = device.failure().getNow(null);
    if (failure == null) {
      return ExitCodes.DONE;
    }
    if (failure instanceof UncheckedIOException) {
      return refuse(failure.getMessage());
    }
    throw new IllegalStateException("the simulated device failed", failure);
  }

  private int refuse(@Nullable String message) {
    PrintWriter err = spec().commandLine().getErr();
    err.println(message);
    err.flush();
    return ExitCodes.WRONG_INPUT;
  }

  private Front front() {
    String fault = security.fault(Objects.requireNonNull(link));
    if (fault != null) {
      throw usage(fault);
    }
    if (link == LinkKind.MQTT) {
      if (port != null) {
        throw usage("--port goes with --link opcua; with mqtt name the --broker");
      }
      String url = Objects.requireNonNullElse(broker, DEFAULT_BROKER);
      if (!BROKER.matcher(url).matches()) {
        throw usage("--broker must be tcp://HOST:PORT or ssl://HOST:PORT, not \"" + url + '"');
      }
      try {
        return Front.mqtt(security.broker(url));
      } catch (IllegalArgumentException e) {
        throw usage("--broker must be tcp://HOST:PORT or ssl://HOST:PORT");
      }
    }
    if (broker != null) {
      throw usage("--broker goes with --link mqtt; with opcua name the --port");
    }
    int number = Objects.requireNonNullElse(port, DEFAULT_PORT);
    if (number < 0 || number > MAX_PORT) {
      throw usage("--port must be 0 to " + MAX_PORT + ", not " + number);
    }
    return Front.opcUa(number, security.server());
  }

  private SimConfig config() {
    if (!STATION.matcher(station).matches()) {
      throw usage("--station must be letters, digits, - and _, not \"" + station + '"');
    }
    try {
      OperatorModel operator =
          noOperator ? OperatorModel.ABSENT : OperatorModel.STANDARD.withRejectRate(rejectRate);
      return SimConfig.standard(station)
          .withOperator(operator)
          .withSpeed(speed)
          .withSeed(seed)
          .withScript(script)
          .withTruth(truth)
          .withMemory(memory)
          .withMoves(moves);
    } catch (IllegalArgumentException e) {
      throw usage(Objects.requireNonNullElse(e.getMessage(), e.toString()));
    }
  }

  private ParameterException usage(String message) {
    return new ParameterException(spec().commandLine(), message);
  }

  private CommandSpec spec() {
    return Objects.requireNonNull(spec);
  }
}
