package org.kerftally.daemon.results;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.kerftally.daemon.results.StickDrawing.Kind;
import org.kerftally.daemon.results.StickDrawing.Run;
import org.kerftally.daemon.results.StickDrawing.Segment;
import org.kerftally.shared.length.Length;

/**
 * Draws a stick as three rows of characters, to scale as far as whole columns allow.
 *
 * <p>A kerf is the line between two parts. Equal parts too narrow for their length are drawn as one
 * block that says how many they are; what is too narrow even so stays blank.
 */
final class TextBar {

  private final int inner;
  private final boolean boxes;
  private final UnitText unit;

  /**
   * Sets up for bars of one size.
   *
   * @param columns how wide a bar is, its two ends included
   */
  TextBar(int columns, boolean boxes, UnitText unit) {
    this.inner = columns - 1;
    this.boxes = boxes;
    this.unit = unit;
  }

  /** Says what the fillings mean. */
  static String legend(boolean boxes) {
    return (boxes ? "░" : ".") + " offcut to keep   " + (boxes ? "▓" : "#") + " trim and waste";
  }

  private record Block(int from, int to, char fill, String label) {}

  /** Returns the rows, each exactly as wide as asked for. */
  List<String> draw(StickDrawing drawing) {
    char[] top = row(boxes ? '─' : '-');
    char[] middle = row(' ');
    char[] bottom = row(boxes ? '─' : '-');
    for (Block block : blocks(drawing)) {
      int room = block.to() - block.from() - 1;
      for (int i = block.from() + 1; i < block.to(); i++) {
        middle[i] = block.fill();
      }
      String label = block.label();
      if (label.length() <= room) {
        label.getChars(0, label.length(), middle, block.from() + 1 + (room - label.length()) / 2);
      }
      top[block.from()] = boxes ? '┬' : '+';
      middle[block.from()] = boxes ? '│' : '|';
      bottom[block.from()] = boxes ? '┴' : '+';
    }
    corners(top, middle, bottom);
    return List.of(new String(top), new String(middle), new String(bottom));
  }

  private List<Block> blocks(StickDrawing drawing) {
    List<Block> blocks = new ArrayList<>();
    for (Segment s : drawing.segments()) {
      if (s.kind() == Kind.TRIM) {
        blocks.add(block(drawing, s.from(), s.from().plus(s.length()), boxes ? '▓' : '#', ""));
      }
    }
    for (Run run : drawing.runs()) {
      addParts(blocks, drawing, run);
    }
    for (Segment s : drawing.segments()) {
      Length to = s.from().plus(s.length());
      if (s.kind() == Kind.OFFCUT) {
        blocks.add(block(drawing, s.from(), to, boxes ? '░' : '.', unit.bare(s.length())));
      } else if (s.kind() == Kind.WASTE) {
        blocks.add(block(drawing, s.from(), to, boxes ? '▓' : '#', ""));
      }
    }
    return blocks;
  }

  /** Each part by itself where all their lengths fit in, else all of them as one block. */
  private void addParts(List<Block> blocks, StickDrawing drawing, Run run) {
    String label = unit.bare(run.part().length());
    List<Block> single = new ArrayList<>();
    boolean room = true;
    for (Segment s : drawing.segments()) {
      if (s.cut() >= run.first() && s.cut() <= run.last()) {
        Block one = block(drawing, s.from(), s.from().plus(s.length()), ' ', label);
        room &= label.length() < one.to() - one.from();
        single.add(one);
      }
    }
    if (room || run.count() == 1) {
      blocks.addAll(single);
      return;
    }
    String both = run.count() + " × " + label;
    Block whole = block(drawing, run.from(), run.to(), ' ', both);
    boolean fits = both.length() < whole.to() - whole.from();
    blocks.add(fits ? whole : block(drawing, run.from(), run.to(), ' ', "×" + run.count()));
  }

  private Block block(StickDrawing drawing, Length from, Length to, char fill, String label) {
    return new Block(column(from, drawing), column(to, drawing), fill, label);
  }

  private char[] row(char c) {
    char[] row = new char[inner + 1];
    Arrays.fill(row, c);
    return row;
  }

  /** The column of a place on the stick, rounded half up; exact whatever the length. */
  private int column(Length at, StickDrawing drawing) {
    BigInteger stick = BigInteger.valueOf(drawing.length().nm());
    return BigInteger.valueOf(at.nm())
        .multiply(BigInteger.valueOf(2L * inner))
        .add(stick)
        .divide(stick.shiftLeft(1))
        .intValueExact();
  }

  private void corners(char[] top, char[] middle, char[] bottom) {
    for (int at : new int[] {0, inner}) {
      boolean left = at == 0;
      top[at] = boxes ? (left ? '┌' : '┐') : '+';
      middle[at] = boxes ? '│' : '|';
      bottom[at] = boxes ? (left ? '└' : '┘') : '+';
    }
  }
}
