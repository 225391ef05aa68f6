package org.kerftally.config;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CoderResult;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.yaml.snakeyaml.nodes.Node;

/**
 * Reads a site's configuration from YAML: all of it, or all that is wrong with it.
 *
 * <p>The file is read in three steps, each of which ends the reading only when it has to: bytes to
 * text (bounded, strictly UTF-8), text to nodes with their lines ({@link YamlTree}), nodes to
 * records ({@link SiteReader} and below). The last step reports every problem it meets: each with
 * its line, its path ({@code stations[0].kerf}), what was found, what is expected, and a mend with
 * an example. Nothing is looked up outside the file: a folder that does not exist yet is none of
 * the reader's problems. Relative paths in the file start at the file's own folder.
 *
 * <p>Stateless; safe for any thread. The same bytes give the same result in every locale.
 */
public final class ConfigReader {

  /** A site with 64 stations needs less than a tenth. */
  public static final int MAX_BYTES = 1 << 20;

  private ConfigReader() {}

  /** Reads a file. A file that cannot be read is a problem of the result, never thrown. */
  public static ConfigResult read(Path file) {
    Findings findings = new Findings(file.toString());
    String text = load(file, findings);
    return text == null
        ? new ConfigResult.Bad(findings.inOrder())
        : read(text, baseOf(file), findings);
  }

  /**
   * Reads a text as if it stood in a file.
   *
   * @param fileName the file's name for the problems; relative paths start at its folder
   */
  public static ConfigResult read(String yaml, String fileName) {
    Findings findings = new Findings(fileName);
    if (yaml.length() > MAX_BYTES) {
      addTooLong(findings);
      return new ConfigResult.Bad(findings.inOrder());
    }
    return read(yaml, baseOf(Path.of(fileName)), findings);
  }

  private static Path baseOf(Path file) {
    Path folder = file.toAbsolutePath().normalize().getParent();
    return folder == null ? file.toAbsolutePath().normalize() : folder;
  }

  private static ConfigResult read(String text, Path base, Findings findings) {
    Node node = YamlTree.compose(withoutByteOrderMark(text), findings);
    Section root = node == null ? null : Section.root(node, findings, Keys.SITE);
    SiteConfig config = root == null ? null : new SiteReader(root, base).read();
    if (!findings.isEmpty()) {
      return new ConfigResult.Bad(findings.inOrder());
    }
    if (config == null) {
      throw new IllegalStateException("nothing was read and nothing was wrong");
    }
    return new ConfigResult.Good(config, EffectiveYaml.render(config, findings.given()));
  }

  private static String withoutByteOrderMark(String text) {
    return text.startsWith("\uFEFF") ? text.substring(1) : text;
  }

  private static @Nullable String load(Path file, Findings findings) {
    if (Files.isDirectory(file)) {
      findings.add(0, null, "found a folder, expected a file", "Name the YAML file in it");
      return null;
    }
    byte[] bytes;
    try (InputStream in = Files.newInputStream(file)) {
      bytes = in.readNBytes(MAX_BYTES + 1);
    } catch (NoSuchFileException e) {
      findings.add(0, null, "found no such file", "Check the name and the folder you are in");
      return null;
    } catch (IOException e) {
      findings.add(
          0, null, "the file cannot be read: " + e.getClass().getSimpleName(), "Check its rights");
      return null;
    }
    if (bytes.length > MAX_BYTES) {
      addTooLong(findings);
      return null;
    }
    return decode(bytes, findings);
  }

  private static void addTooLong(Findings findings) {
    findings.add(
        0, null, "found more than 1 MiB, expected less", "Is this the configuration at all?");
  }

  private static @Nullable String decode(byte[] bytes, Findings findings) {
    CharsetDecoder decoder =
        StandardCharsets.UTF_8
            .newDecoder()
            .onMalformedInput(CodingErrorAction.REPORT)
            .onUnmappableCharacter(CodingErrorAction.REPORT);
    CharBuffer text = CharBuffer.allocate(bytes.length + 1);
    CoderResult result = decoder.decode(ByteBuffer.wrap(bytes), text, true);
    text.flip();
    if (!result.isError()) {
      return text.toString();
    }
    int line = 1 + (int) text.chars().filter(c -> c == '\n').count();
    findings.add(
        line, null, "found bytes that are not UTF-8", "Save the file as plain text in UTF-8");
    return null;
  }
}
