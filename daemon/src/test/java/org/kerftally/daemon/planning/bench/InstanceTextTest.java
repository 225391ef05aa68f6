package org.kerftally.daemon.planning.bench;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.StickType;

/** Reads both text formats, and says where one is wrong. */
class InstanceTextTest {

  private static InstanceText.Reading read(String text) {
    return InstanceText.read("some.txt", text.replace("/", "\n"));
  }

  @Test
  void readsOneStickLength() {
    Instance instance = ((InstanceText.Good) read("3\r/100\r/40\t2\r/60 1/40 1/")).instance();
    assertThat(instance.itemCount()).isEqualTo(2);
    assertThat(instance.size(0)).isEqualTo(60);
    assertThat(instance.demand(1)).isEqualTo(3);
    StickType type = instance.types().get(0);
    assertThat(type.capacity()).isEqualTo(100);
    assertThat(type.cost()).isEqualTo(1);
    assertThat(type.available()).isEqualTo(4);
  }

  @Test
  void readsSeveralStickLengths() {
    Instance instance = ((InstanceText.Good) read("2/100 7 90/80 1 3/1/40 9/")).instance();
    assertThat(instance.types()).hasSize(2);
    assertThat(instance.types().get(0).available()).isEqualTo(7);
    assertThat(instance.types().get(0).cost()).isEqualTo(90);
    assertThat(instance.types().get(1).reach()).isEqualTo(80);
    assertThat(instance.demand(0)).isEqualTo(9);
  }

  @ParameterizedTest
  @CsvSource({
    "'', 'the file ends too early'",
    "'2/100/5 1', 'line 3: the file ends too early'",
    "'1/100/5 1/6 1', 'line 4: 1 item lines are stated'",
    "'1/100/5 1 7', 'line 3: 3 columns, expected 2'",
    "'1/100/5 x', 'line 3, demand: \"x\" is no whole number'",
    "'1/100/0 3', 'line 3, size'",
    "'1/100/-5 3', 'line 3, size'",
    "'1/99999999999999999999/5 3', 'line 2, length'",
    "'1/100/5 1000001', 'line 3, demand'",
    "'2/100/5 600000/6 600000', 'line 4: more than 1000000 pieces'",
    "'999999999/100/5 1', 'line 1, item types'",
    "'2/100 7 90/80 1/1/40 9', 'line 3: 2 columns, expected 3'",
    "'2/100 7 1.5/80 1 1/1/40 9', 'line 2, cost'"
  })
  void saysWhereATextIsWrong(String text, String message) {
    InstanceText.Reading reading = read(text);
    assertThat(reading).isInstanceOf(InstanceText.Bad.class);
    assertThat(((InstanceText.Bad) reading).problem().text())
        .startsWith("some.txt")
        .contains(message);
  }

  @Test
  void readsOptimaWithAndWithoutAHeader() {
    Optima optima = new Optima();
    assertThat(optima.read("a.csv", "name,class,lower,upper,optimum\nN1,C,3,4,4\n")).isEmpty();
    assertThat(optima.read("b.csv", "job-1,17.5\n\njob-2,9\n")).isEmpty();
    Optima.Known known = Objects.requireNonNull(optima.of("N1"));
    assertThat(known.group()).isEqualTo("C");
    assertThat(known.optimum()).isEqualByComparingTo("4");
    assertThat(optima.size()).isEqualTo(3);
    assertThat(optima.read("c.csv", "job-1,1e9\n").get(0).text()).contains("c.csv, line 1");
    assertThat(optima.read("d.csv", "name,cost\nx,1\n").get(0).text()).contains("optimum");
  }
}
