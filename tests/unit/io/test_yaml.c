/* test_yaml.c - the tree of a YAML text and the places of its nodes. */
#include "io/yaml.h"
#include "reading.h"

static cq_arena *arena;

static void set_up(void) {
    arena = cq_arena_create();
}

static void tear_down(void) {
    cq_arena_free(arena);
    forget();
}

/* The tree of a text; *source must outlive it. */
static cq_node *parse(cq_source *source, const char *text) {
    cq_node *root = NULL;
    *source = (cq_source){"test.yaml", text, strlen(text)};
    forget();
    ck_assert_int_eq(cq_yaml_parse(&root, source, arena, &told), CQ_OK);
    ck_assert_ptr_nonnull(root);
    return root;
}

static void at(const cq_node *node, int line, int column) {
    ck_assert_ptr_nonnull(node);
    ck_assert_msg(node->line == line && node->column == column, "at %d:%d instead of %d:%d", node->line, node->column,
                  line, column);
}

START_TEST(knows_places) {
    cq_source source;
    const cq_node *root = parse(
        &source, "é°: '°C'\nflow: {a: 1, °: 2,\n   b: [x, {y: z}]}\nlist:\n  - p: 1\n    q: 2\n  - [5, 6]\nnone:\n");
    ck_assert_int_eq(root->kind, CQ_NODE_MAP);
    ck_assert_uint_eq(root->n, 4);
    at(cq_node_find(root, "é°"), 1, 6); /* characters, not bytes; a quoted text begins behind its quote */
    const cq_node *flow = cq_node_find(root, "flow");
    at(flow, 2, 1); /* a mapping stands at its key */
    at(cq_node_find(flow, "°"), 2, 17);
    at(cq_node_key(flow, "°"), 2, 14);
    const cq_node *b = cq_node_find(flow, "b");
    ck_assert_int_eq(b->kind, CQ_NODE_LIST);
    at(b->item[0], 3, 8);
    at(b->item[1], 3, 12); /* an item of a list at its first key */
    const cq_node *list = cq_node_find(root, "list");
    at(list, 4, 1);
    at(list->item[0], 5, 5);
    at(cq_node_find(list->item[0], "q"), 6, 8);
    at(list->item[1], 7, 6);
    at(cq_node_find(root, "none"), 8, 1);
    ck_assert_str_eq(cq_node_find(root, "none")->text, "");
    ck_assert_ptr_null(cq_node_find(root, "absent"));
    ck_assert_ptr_null(cq_node_find(list, "p"));
    ck_assert_ptr_null(cq_node_find(NULL, "p"));
    ck_assert_ptr_eq(cq_node_key(root, "absent"), root);
}
END_TEST

START_TEST(overlays) {
    cq_source under_source, over_source;
    const cq_node *under = parse(&under_source, "a: 1\nb: 2\n"), *over = parse(&over_source, "b: 3\nc: 4\n");
    const cq_node *laid = cq_node_overlay(under, over, arena);
    ck_assert_uint_eq(laid->n, 3);
    ck_assert_str_eq(cq_node_find(laid, "a")->text, "1");
    ck_assert_str_eq(cq_node_find(laid, "b")->text, "3");
    ck_assert_str_eq(cq_node_find(laid, "c")->text, "4");
    ck_assert_str_eq(cq_node_find(under, "b")->text, "2"); /* the layers stay as they are */
    ck_assert_uint_eq(over->n, 2);
    at(cq_node_find(laid, "b"), 1, 4);
}
END_TEST

START_TEST(keeps_the_first_of_twins) {
    cq_node *root = NULL;
    const char *text = "a: 1\nb: {x: 1, x: 2}\na: 3\n";
    const cq_source source = {"test.yaml", text, strlen(text)};
    ck_assert_int_eq(cq_yaml_parse(&root, &source, arena, &told), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 2);
    ck_assert_int_eq(told.items[0].line, 2);
    ck_assert_int_eq(told.items[0].column, 11);
    ck_assert_int_eq(told.items[1].line, 3);
    ck_assert_str_eq(cq_node_find(root, "a")->text, "1");
}
END_TEST

/* A few lines of aliases would unfold to 3^40 nodes. */
START_TEST(does_not_unfold_aliases) {
    char text[4096] = "a0: &a0 [x, x, x]\n";
    for (int i = 1; i < 40; i++) {
        char line[64];
        snprintf(line, sizeof line, "a%d: &a%d [*a%d, *a%d, *a%d]\n", i, i, i - 1, i - 1, i - 1);
        strcat(text, line);
    }
    cq_node *root = NULL;
    const cq_source source = {"bomb.yaml", text, strlen(text)};
    ck_assert_int_eq(cq_yaml_parse(&root, &source, arena, &told), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 3 * 39);
    ck_assert_ptr_null(root);
}
END_TEST

/* Keys are compared with one another: a mapping of a hundred thousand must not take minutes. */
START_TEST(refuses_monstrous_mappings) {
    enum { KEYS = 100000 };
    char *text = malloc(KEYS * 12);
    size_t n = 0;
    for (int k = 0; k < KEYS; k++) {
        n += (size_t)sprintf(text + n, "k%d: 1\n", k);
    }
    cq_node *root = NULL;
    const cq_source source = {"large.yaml", text, n};
    ck_assert_int_eq(cq_yaml_parse(&root, &source, arena, &told), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 1);
    free(text);
}
END_TEST

START_TEST(says_what_stands_there) {
    cq_source source;
    char words[128];
    const cq_node *root = parse(&source, "a: 8 s\nb: {}\nc: []\nd:\n");
    ck_assert_str_eq(cq_node_words(cq_node_find(root, "a"), words, sizeof words), "'8 s'");
    ck_assert_str_eq(cq_node_words(cq_node_find(root, "b"), words, sizeof words), "a mapping");
    ck_assert_str_eq(cq_node_words(cq_node_find(root, "c"), words, sizeof words), "a list");
    ck_assert_str_eq(cq_node_words(cq_node_find(root, "d"), words, sizeof words), "nothing");
    ck_assert_str_eq(cq_node_words(NULL, words, sizeof words), "nothing");
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("yaml");
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_add_test(tcase, knows_places);
    tcase_add_test(tcase, overlays);
    tcase_add_test(tcase, keeps_the_first_of_twins);
    tcase_add_test(tcase, does_not_unfold_aliases);
    tcase_add_test(tcase, refuses_monstrous_mappings);
    tcase_add_test(tcase, says_what_stands_there);
    return run_case(tcase, "yaml");
}
